-- Makes room for everything else; run by the administrator.
create schema if not exists ellwand;
