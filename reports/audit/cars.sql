-- Cars to call back, worst first, 300 at most; car_count counts all.
select * from cars_to_call(1.65, 30) where place <= 300 order by place
