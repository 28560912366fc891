"""Published water chemistry: one equation, one function, one source.

Plain Python over numbers, without numpy. Each formula's equation, valid range
and source stand beside it as data (:mod:`advisor.water.formulas`), so that an
audit can print them with the numbers put in.

Three checks on a number: :mod:`advisor.water.input_checks` refuses what cannot be
(pH 19), ``Formula.outside`` tells what the source does not cover, and a result
is never NaN.
"""
