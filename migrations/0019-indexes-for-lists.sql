-- A plan's row holds the whole problem and roadmap: a list of plans must not read through them. And of all that happened, one kind is asked for.
CREATE INDEX plans_in_short ON plans (id, made_on, first_month, roadmap <> 'null');
CREATE INDEX events_by_kind ON events (what, happened_on, id);
