-- Tukey's bisquare, by q = (u / tuning)^2 with u in units of the scale: weight = psi(u)/u (Maronna, Martin, Yohai and Salibian-Barrera,
-- Robust Statistics, 2nd ed. 2019, section 2.3; from memory).
create or replace temp macro bisquare_weight(q) as greatest(1 - q, 0) * greatest(1 - q, 0);
