-- The one of four columns, one per angle, that `response` names.
create or replace temp macro of_response(response, camber, caster, toe, sai) as
    case response when 'camber_deg' then camber when 'caster_deg' then caster when 'toe_deg' then toe
        when 'sai_deg' then sai end;
