"""The bench sheet and the stack-up picture: terminal, HTML, PDF, SVG."""
