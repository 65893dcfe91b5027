-- What the command says, with the order in which the page shows it.
select ranged.*, group_rank, group_count, kit_rank
from ranged($chassis::varchar, $kit::varchar, $target::varchar) as ranged
inner join range_groups($chassis::varchar, $target::varchar) as groups
    on groups.chassis = ranged.chassis and groups.target = ranged.target
left join range_kits($kit::varchar) as kits on kits.kit = ranged.kit
order by group_rank, kit_rank, plate_index nulls first, plate_hand desc
