-- What would change if the document $2 became the catalogue of workshop $1: {section: {"added", "changed", "removed"}},
-- each a list of codes; only sections and lists with something in them. A section without codes is named as a whole.
with change as (
    select coalesce(after.section, before.section) as section,
           coalesce(nullif(coalesce(after.code, before.code), ''), coalesce(after.section, before.section)) as code,
           case when before.section is null then 'added' when after.section is null then 'removed' else 'changed' end as what
    from catalogue_rows(catalogue_document($1::integer)) as before
    full join catalogue_rows($2::jsonb) as after on after.section = before.section and after.code = before.code
    where before.data is distinct from after.data
), list as (
    select section, what, jsonb_agg(code order by code) as codes from change group by section, what
), listed as (
    select section, jsonb_object_agg(what, codes) as what from list group by section
)
select coalesce(jsonb_object_agg(section, what), '{}') from listed
