-- title: What makes a dry stack sound: the rules and their usual values
-- grain: one row
-- source: common practice, no published source, except the tolerances, which are usual for measuring with a caliper
-- missing: none
-- column min_margin_mm DOUBLE [mm]: least length by which the clamped parts exceed the shoulder, tolerances taken off; 0.3
-- column wish_margin_low_mm DOUBLE [mm]: a smaller margin than this is remarked on; 0.5
-- column wish_margin_high_mm DOUBLE [mm]: a larger margin than this is remarked on; 3
-- column min_clearance_mm DOUBLE [mm]: least clearance of the loaded mount over the spring plate, tolerances taken off; 5
-- column min_shown_pitch_count DOUBLE [pitches]: least thread that shows above the nut; 1
-- column spacer_tol_mm DOUBLE [mm]: tolerance of a spacer that is still to be found, and of the car's own spring plate; 0.1
-- column stack_count INTEGER: equal stacks that one box has to make, 2 for both sides of a car; 1
select
    cast(0.3 as double) as min_margin_mm,
    cast(0.5 as double) as wish_margin_low_mm,
    cast(3 as double) as wish_margin_high_mm,
    cast(5 as double) as min_clearance_mm,
    cast(1 as double) as min_shown_pitch_count,
    cast(0.1 as double) as spacer_tol_mm,
    1 as stack_count
