"""What is in the glass, computed: strength, sweetness, acid, heat, and how sure each number is."""
