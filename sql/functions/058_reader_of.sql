-- The number of who read with which gauge, see table readers: 52 bits of a hash, which JavaScript has too.
create or replace temp macro reader_of(gauge, technician) as cast(hash(gauge, technician) // 4096 as bigint);
-- The lot of a car, one of 128 by a hash of its name: what cars have in common, and others not, needs no more of them.
create or replace temp macro car_lot(vehicle) as cast(hash(vehicle) % 128 as integer);
