"""The guided session, and what typed words mean: no terminal in it, and no browser.

``session.session`` yields what to show, ask and keep (``records``) and takes lines or choices.
"""
