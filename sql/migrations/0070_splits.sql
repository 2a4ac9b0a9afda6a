-- A track in several pieces may be joined in any of the ways that its take-off lists ("splits", the first being the one
-- taken). A cutting plan may take another one; then pieces, bracket marks and loads of the window follow, all together, and
-- only until the first of its pieces has once been released to the saw.
set local search_path = ellwand;

-- The take-off with its split number `chosen` (from 0) taken: takeoff/takeoff.h says what changes.
create function split_taken(takeoff jsonb, chosen integer) returns jsonb language sql immutable strict parallel safe as
$$
    select takeoff || jsonb_build_object(
        'pieces', (select jsonb_agg(piece || jsonb_build_object('length', split -> 'pieces' -> (place::integer - 1)) order by place)
                   from jsonb_array_elements(takeoff -> 'pieces') with ordinality as listed (piece, place)),
        'brackets', (select jsonb_agg(bracket || jsonb_build_object(
                         'kind', case when split -> 'joins' @> (bracket -> 'from_left') then 'join' else 'bracket' end) order by place)
                     from jsonb_array_elements(takeoff -> 'brackets') with ordinality as listed (bracket, place)),
        'hanging', split -> 'hanging',
        'splits', jsonb_build_array(split) || ((takeoff -> 'splits') - chosen))
    from (select takeoff -> 'splits' -> chosen as split) as taken
$$;

-- The lengths of an array of numbers in mm.
create function lengths_of(list jsonb) returns bigint[] language sql immutable strict parallel safe as
$$ select array_agg(tenths(mm::numeric) order by place) from jsonb_array_elements_text(list) with ordinality as listed (mm, place) $$;

-- Whether some piece of the window was ever released to the saw: from then on labels and papers say how it is joined.
create function split_settled(window_id bigint) returns boolean language sql stable as
$$
    select exists (select from piece join history on history.kind = 'piece' and history.subject = piece.id
                                                 and history.to_state = 'released'
                   where piece.job_window = window_id)
$$;

-- Joins window `window_id` of a workshop so that its pieces get these lengths, from the left. False where it cannot be any
-- more: a piece is not waiting, or was once released. The daemon may change lengths and take-offs through this alone.
create function take_split(workshop_id integer, window_id bigint, lengths bigint[]) returns boolean
    language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    made jsonb;
    chosen integer;
begin
    select takeoff into made from job_window where id = window_id and workshop = workshop_id for update;
    perform from piece where job_window = window_id for update;
    if made is null or split_settled(window_id) or exists (select from piece where job_window = window_id and state <> 'waiting') then
        return false;
    end if;
    select place - 1 into chosen from jsonb_array_elements(made -> 'splits') with ordinality as listed (split, place)
    where lengths_of(split -> 'pieces') = lengths and split ? 'hanging';
    if chosen is null then
        perform refuse('unknown-split', 'window ' || window_id, 'The take-off of this window lists no such way to join it.');
    end if;
    if chosen > 0 then
        update job_window set takeoff = split_taken(made, chosen) where id = window_id;
        update piece set length = lengths[number] where job_window = window_id and length <> lengths[number];
    end if;
    return true;
end
$$;
revoke execute on function take_split(integer, bigint, bigint[]) from public;
grant execute on function take_split(integer, bigint, bigint[]) to ellwand_daemon;

-- Whoever asks: a length changes only while the piece waits and was never released,
create function piece_length_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if new.length <> old.length and (old.state <> 'waiting' or split_settled(old.job_window)) then
        perform refuse('length-settled', 'piece ' || old.id, 'A piece that is planned, or was once released to the saw, keeps its length.');
    end if;
    return new;
end
$$;
create trigger piece_length_guard before update of length on piece for each row execute function piece_length_guard();

-- a take-off only to another of the splits that it lists itself,
create function takeoff_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if new.takeoff = old.takeoff then
        return new;
    end if;
    if split_settled(old.id) then
        perform refuse('split-settled', 'window ' || old.id, 'A piece of it was released to the saw; it stays joined as it is.');
    end if;
    if not exists (select from jsonb_array_elements(old.takeoff -> 'splits') with ordinality as listed (split, place)
                   where split = new.takeoff -> 'splits' -> 0 and split_taken(old.takeoff, place::integer - 1) = new.takeoff) then
        perform refuse('takeoff-settled', 'window ' || old.id, 'A take-off changes only to another of the splits that it lists.');
    end if;
    return new;
end
$$;
create trigger takeoff_guard before update of takeoff on job_window for each row execute function takeoff_guard();

-- and at the end of the transaction the pieces are those of the take-off, and make up its track.
create function pieces_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    window_id bigint;
    made jsonb;
    listed bigint[];
    there bigint[];
begin
    if tg_table_name = 'piece' then
        window_id := new.job_window;
    else
        window_id := new.id;
    end if;
    select takeoff into made from job_window where id = window_id;
    listed := coalesce(lengths_of(jsonb_path_query_array(made, '$.pieces[*].length')), '{}');
    there := array(select length from piece where job_window = window_id order by number);
    if there is distinct from listed
       or (select sum(length) from unnest(there) length) is distinct from tenths((made ->> 'cut_total')::numeric) then
        perform refuse('wrong-pieces', 'window ' || window_id, 'Its pieces are not those of its take-off, or do not make up its track.');
    end if;
    return null;
end
$$;
create constraint trigger pieces_guard after insert or update of length, number, job_window on piece deferrable initially deferred
    for each row execute function pieces_guard();
create constraint trigger pieces_guard after insert or update of takeoff on job_window deferrable initially deferred
    for each row execute function pieces_guard();
