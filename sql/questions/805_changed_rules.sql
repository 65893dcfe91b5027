-- The row of stack_rules with the values of the map changed (name -> number) in place of the usual ones.
create or replace temp macro changed_rules(changed) as table
select
    coalesce(changed['min_margin_mm'], min_margin_mm) as min_margin_mm,
    coalesce(changed['wish_margin_low_mm'], wish_margin_low_mm) as wish_margin_low_mm,
    coalesce(changed['wish_margin_high_mm'], wish_margin_high_mm) as wish_margin_high_mm,
    coalesce(changed['min_clearance_mm'], min_clearance_mm) as min_clearance_mm,
    coalesce(changed['min_shown_pitch_count'], min_shown_pitch_count) as min_shown_pitch_count,
    coalesce(changed['spacer_tol_mm'], spacer_tol_mm) as spacer_tol_mm,
    cast(coalesce(changed['stack_count'], stack_count) as integer) as stack_count
from stack_rules;
