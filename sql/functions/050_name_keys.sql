-- What a name is compared by: the same for names that differ only in letter case, in the Unicode form of their letters, in characters
-- that do not show, and in how words are set apart (spaces, dashes, underscores), a number from its word by nothing too. A dash that
-- stands before a digit and not behind a word is a minus sign and stays.
create or replace temp macro spaced(name) as
    regexp_replace(
        regexp_replace(regexp_replace(name, '\p{Cf}', '', 'g'), '[\p{Z}\s_]+', ' ', 'g'), '[\p{Pd}−]', '-', 'g'
    );
create or replace temp macro name_key(name) as
    trim(
        regexp_replace(
            regexp_replace(
                regexp_replace(lower(nfc_normalize(spaced(name))), '(^| )-([0-9])', '\1−\2', 'g'), '[ -]+', ' ', 'g'
            ),
            '(\p{L}) ([0-9])', '\1\2', 'g'
        )
    );
-- In what two names of one key differ.
create or replace temp macro name_difference(name, other) as case
    when nfc_normalize(name) = nfc_normalize(other) then 'the Unicode form of a letter, which does not show'
    when lower(nfc_normalize(name)) = lower(nfc_normalize(other)) then 'letter case'
    else 'spaces, dashes or characters that do not show'
end;
