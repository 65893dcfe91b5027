-- Who shares.
select pseudonym as site
from site_pseudonym
