-- Probability of a mistake from its prior odds and the log of the likelihood ratio, mistake over none; NULL where that is NULL.
create or replace temp macro posterior(prior_odds, log_ratio) as 1 / (1 + exp(-ln(prior_odds) - log_ratio));
