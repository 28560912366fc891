"""From what a person types to a case that holds it.

Reading a line (``choosing``, ``field_numbers``, ``typed_reading``, ``lots``) is apart
from writing it down (``apply``): a line becomes a reply, and a reply gives a new
frozen case. Nothing here prints or asks.
"""
