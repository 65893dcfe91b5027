-- Tukey's bisquare, all in units of the scale: rho is scaled to a maximum of 1; weight = psi(u)/u; slope = psi'(u).
-- Tuning 1.547645 gives 50 % breakdown for a scale with rho averaging 1/2, 4.685061 gives 95 % efficiency at the normal
-- (Maronna, Martin, Yohai and Salibian-Barrera, Robust Statistics, 2nd ed. 2019, section 2.3 and table 2.4; from memory).
create or replace temp macro bisquare_rho(u, tuning) as 1 - power(greatest(0, 1 - power(u / tuning, 2)), 3);
create or replace temp macro bisquare_weight(u, tuning) as power(greatest(0, 1 - power(u / tuning, 2)), 2);
create or replace temp macro bisquare_slope(u, tuning) as
    greatest(0, 1 - power(u / tuning, 2)) * (1 - 5 * power(u / tuning, 2));
create or replace temp macro breakdown_tuning() as 1.547645;
create or replace temp macro efficiency_tuning() as 4.685061;
