"""Saved deliveries played again: archives checked, rule bases compared, people trained.

files     case files of an archive, and the lot an expectation is about
check     every case against what a person expects of it, in a table
crowd     the same over many cases and several cores, with flat memory
against   which cases move between two rule bases, by which rules, for better or worse
lesson    one delivery as it unfolded, what was asked of it and what was decided
score     a trainee's decision beside the advisor's, the expected one and the outcome
progress  scores of one trainee over time, kept on this machine only
teaching  a closed delivery turned into a case for training
"""
