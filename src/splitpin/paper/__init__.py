"""The paper kit: what a paper shoot needs, laid out on pages at true size.

In: sheets, figures, cut lines. Out: :class:`~splitpin.paper.page.Page`, marks in millimetres. Rows say where
everything lies; nothing here works out a position on the table of its own.
"""
