"""What is offered to who asks: the lists, forms and links that are theirs."""
