"""What each piece of a description is, for whoever colours it: Pygments, our own HTML, the editors' packages.

Every list of words comes from the vocabulary, the units and the tokens of a line, so that none can fall behind.
May import the text as written and the tables; must not import the model, figures or emit, and opens no file.
Only `lexer` and `page` import Pygments.
"""
