select distinct chassis
from readings
