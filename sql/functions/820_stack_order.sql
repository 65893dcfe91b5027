-- What stacks are ordered by, least = best, as one whole number: sound ahead of unsound, a spring plate of the box ahead of the car's
-- own, then the number of defects, the height missing, the number of parts, and how far the margin is from the middle of what
-- is wished. short_nm: height missing, room_nm: height left under the end of the thread, both at the worst tolerances.
create or replace temp macro stack_order(defect_count, short_nm, room_nm, own_plate, piece_count, off_nm) as
    (
        (
            (
                (
                    case when defect_count > 0 or short_nm > 0 or room_nm < 0 then 2 else 0 end
                    + case when own_plate then 1 else 0 end
                )
                    * cast(100 as hugeint) + defect_count
            ) * 10000000000 + greatest(short_nm, 0) + greatest(greatest(short_nm, 0) - room_nm, 0)
        ) * 1000 + piece_count
    ) * 10000000000 + abs(off_nm);
-- Number of the option taken at a step, out of the number of a frame (three digits a step).
create or replace temp macro stack_choice(frame, step) as
    frame // cast(1000 ** (len(stack_roles()) - step) as hugeint) % 1000;
