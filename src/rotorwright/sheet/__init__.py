"""Results to text, pictures and pages. No physics."""
