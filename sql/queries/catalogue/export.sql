-- The catalogue of workshop $1 as the document it was loaded from.
select catalogue_document($1::integer)
