-- A part has few substitutes: told so, the planner finds parts by their key instead of reading all of them.
set local search_path = ellwand;

alter function with_substitutes(bigint[]) rows 20;
