-- What who reads adds is known to a site alone: in the pooled field nothing tells of biases and set-ups, and the priors stand in.
select
    cast(0 as bigint) as reader,
    0 as camber_told_var_deg2,
    0 as camber_bias_deg,
    max(power(bias_sd_deg, 2)) filter (where response = 'camber_deg') as camber_bias_var_deg2,
    0 as caster_told_var_deg2,
    0 as caster_bias_deg,
    max(power(bias_sd_deg, 2)) filter (where response = 'caster_deg') as caster_bias_var_deg2,
    0 as toe_told_var_deg2,
    0 as toe_bias_deg,
    max(power(bias_sd_deg, 2)) filter (where response = 'toe_deg') as toe_bias_var_deg2
from angle_priors
