-- A reorder point reads two years of weeks of a part: from the index alone, for the rows lie apart, as they came week by week.
set local search_path = ellwand;

alter table part_week drop constraint part_week_pkey, add primary key (part, week) include (used);
