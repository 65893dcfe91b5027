-- The number of who read with which gauge, see table readers: 52 bits of a hash, which JavaScript has too.
create or replace temp macro reader_of(gauge, technician) as cast(hash(gauge, technician) // 4096 as bigint);
