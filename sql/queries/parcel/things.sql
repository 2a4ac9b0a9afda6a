-- What order $1 packs: pieces and kits, with what a parcel must know of them. Lengths in tenths of a millimetre, quantities as
-- the tables count them. -> [{"piece"|"kit": id, window, system, length?, bent?, parts?: [{part, units}]}, ..]
select coalesce(jsonb_agg(thing order by position, rank, number), '[]')
from (select job_window.position, 1 as rank, piece.number, jsonb_build_object(
          'piece', piece.id, 'window', job_window.name, 'system', piece.system, 'length', piece.length,
          'bent', job_window.survey ? 'bay') as thing
      from job_window join piece on piece.job_window = job_window.id
      where job_window.job_order = $1::bigint and piece.state <> 'cancelled'
      union all
      select job_window.position, 2, 0, jsonb_build_object('kit', kit.id, 'window', job_window.name, 'system', job_window.system,
          'parts', (select coalesce(jsonb_agg(jsonb_build_object('part', part.code, 'units', kit_line.wanted)), '[]')
                    from kit_line join part on part.id = kit_line.part where kit_line.kit = kit.id))
      from job_window join kit on kit.job_window = job_window.id
      where job_window.job_order = $1::bigint) as listed
