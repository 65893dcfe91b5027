-- Where a scale ends, in words, one end of which the kit may not give.
create or replace temp macro scale_words(lowest, highest) as
    coalesce(format('{:g} to {:g}', lowest, highest), format('from {:g}', lowest), format('to {:g}', highest));
