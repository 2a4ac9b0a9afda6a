-- Prepares a new connection. $1: statement_timeout in ms (0: none); $2: workshop; $3: how long in ms the server lets
-- an open transaction stand idle, so that a daemon that was stopped half-way holds no locks for ever (0: no limit). Nothing here runs long
-- enough to be worth compiling: that alone took 0.7 s for a statement of 3 ms.
select set_config('search_path', 'ellwand, pg_temp', false),
       set_config('TimeZone', 'UTC', false),
       set_config('DateStyle', 'ISO, YMD', false),
       set_config('jit', 'off', false),
       set_config('client_min_messages', 'warning', false),
       set_config('statement_timeout', $1, false),
       set_config('idle_in_transaction_session_timeout', $3, false),
       set_config('ellwand.workshop', $2, false);
