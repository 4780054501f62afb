"""
The stack-up picture: the parts of a build along their axes, numbered as in the rebuild.

Each page is a stand-alone SVG of 180 by 247 mm, made for A4 portrait with 15 mm margins.
"""

from springcase.paper.stackup.picture import draw_stack_up

__all__ = ["draw_stack_up"]
