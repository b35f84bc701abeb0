"""`countwheel serve`: a description in the browser of this machine, kept up with the file while it is written.

Holds the watch on the files, the pages, the trains that turn, the trying of other values, and the server that
hands them to one browser. May import what the commands may; nothing else imports it but `commands`.
"""
