"""The regulator in numbers: spring, diaphragm, restriction, force balance, performance."""
