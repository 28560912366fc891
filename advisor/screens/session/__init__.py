"""The guided session on the terminal: plain lines out, plain lines in.

No cursor is moved and nothing is redrawn, so that it works over ssh, in a pipe, in a
narrow window and with a screen reader.
"""
