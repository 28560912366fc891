"""From a case to advice: facts, ranking, what to do next, the plan."""
