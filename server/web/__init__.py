"""Pages and the small API: thin routes that read input, call the domain or the store, render."""
