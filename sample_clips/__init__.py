"""Human figures with exact truth: the program that drew the clips beside it, and what each of them really shows.

Needs the development extra `render`. Nothing in `vision`, `models` or `service` imports it.
"""
