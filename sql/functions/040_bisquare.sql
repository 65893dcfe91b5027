-- Tukey's bisquare, by q = (u / tuning)^2 with u in units of the scale: rho has a maximum of 1; weight = psi(u)/u; slope = psi'(u);
-- rho_slope = u rho'(u).
-- Tuning 1.547645 gives 50 % breakdown for a scale with rho averaging 1/2, 4.685061 gives 95 % efficiency at the normal
-- (Maronna, Martin, Yohai and Salibian-Barrera, Robust Statistics, 2nd ed. 2019, section 2.3 and table 2.4; from memory).
create or replace temp macro bisquare_rho(q) as 1 - greatest(1 - q, 0) * greatest(1 - q, 0) * greatest(1 - q, 0);
create or replace temp macro bisquare_weight(q) as greatest(1 - q, 0) * greatest(1 - q, 0);
create or replace temp macro bisquare_slope(q) as greatest(1 - q, 0) * (1 - 5 * q);
create or replace temp macro bisquare_rho_slope(q) as 6 * q * greatest(1 - q, 0) * greatest(1 - q, 0);
create or replace temp macro breakdown_tuning() as 1.547645;
create or replace temp macro efficiency_tuning() as 4.685061;
