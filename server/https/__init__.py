"""Serving https on a local network with a certificate authority of one's own."""
