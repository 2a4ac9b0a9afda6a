-- Listens on the channel named by session/channel.
do $$ begin execute format('listen %I', current_setting('ellwand.channel')); end $$;
