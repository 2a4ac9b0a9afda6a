-- A manager sets what goes back to the rack and what it is worth.
set local search_path = ellwand;

grant update (usable_remainder, remainder_value_percent, rack_places) on workshop to ellwand_daemon;
