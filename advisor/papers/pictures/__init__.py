"""Pictures as SVG, each with a text equivalent. matplotlib is loaded when one is drawn.

Colours are those of Okabe and Ito (2008, Color Universal Design), told apart by
colour-blind readers; in grey print line styles, markers and hatching do the same.
"""
