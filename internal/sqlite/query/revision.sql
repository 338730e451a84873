SELECT number FROM revision
