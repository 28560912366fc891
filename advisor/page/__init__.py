"""The page for phones and tablets of the room: the same session, plan, looks and papers.

It draws what ``ask`` yields and sends replies; it decides nothing.

============  ============================================================
``entry``     the code of the day, the cookie, the token of a form
``guard``     what every request and every answer of the server must keep to
``desk``      the cases of the folder, and whose session is where
``seat``      one person's session on one delivery
``log``       who answered what, and which deliveries of a form have arrived
``processes`` several at once, a delivery always in the same
``views``     a page each
============  ============================================================
"""
