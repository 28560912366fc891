"""Papers, pictures and exports: what leaves the room.

==================  ==========================================================
``vet`` ``supplier``
``tank_log``        what each paper says, as blocks (``blocks``)
``html`` ``text``   the blocks as a page to print, or as plain text
``pictures``        SVG for the papers, each with a text equivalent
``losses`` ``watch``
``times``           dead, readings and clock times of a case, ready to be shown
``csv_out``         readings and events as CSV
``log_understood``  what was taken from an instrument's log (``case.logs`` reads it)
``schema``          JSON Schema of an assessment
==================  ==========================================================

Nothing here computes chemistry or decides anything. Text of a case is inert
wherever it ends up: cleaned of control codes, escaped in HTML, guarded in CSV.
"""
