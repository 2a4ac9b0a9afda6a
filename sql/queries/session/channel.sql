-- Names the channel that session/listen is to listen on, which takes no parameter itself. $1: channel.
select set_config('ellwand.channel', $1, false);
