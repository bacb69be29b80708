-- What the migrations make, for reading. Written by: go test ./db -run Schema -update

CREATE DOMAIN cautions AS text[]
    CONSTRAINT cautions_known CHECK ((VALUE <@ ARRAY['structure'::text, 'height'::text, 'lifting'::text, 'excavation'::text, 'temporary support'::text, 'gas'::text, 'electricity'::text]));
COMMENT ON DOMAIN cautions IS 'What makes the release of a step the business of a licensed or authorised person';

CREATE DOMAIN hash AS bytea
    CONSTRAINT hash_whole CHECK ((octet_length(VALUE) = 32));
COMMENT ON DOMAIN hash IS 'SHA-256 of a secret that is kept nowhere';

CREATE DOMAIN minute_of_day AS smallint
    CONSTRAINT minute_of_day_on_the_clock CHECK (((VALUE >= 0) AND (VALUE <= 1440)));
COMMENT ON DOMAIN minute_of_day IS 'A wall-clock time in the zone of the job, in minutes after midnight';

CREATE DOMAIN short_name AS text
    CONSTRAINT short_name_spelt CHECK (((VALUE ~ '^[a-z0-9]+(-[a-z0-9]+)*$'::text) AND (length(VALUE) <= 60)));
COMMENT ON DOMAIN short_name IS 'The short readable name of a thing within one job: lower-case letters, digits, hyphens';

CREATE DOMAIN span AS text
    CONSTRAINT span_written CHECK ((VALUE ~ '^(0|[1-9][0-9]{0,5}) (elapsed )?(minute|hour|day|week)s?$'::text));
COMMENT ON DOMAIN span IS 'An amount of time with its unit as people write it: "3 days" is working time, "28 elapsed days" is real time';

CREATE DOMAIN step_end AS text
    CONSTRAINT step_end_known CHECK ((VALUE = ANY (ARRAY['start'::text, 'finish'::text])));
COMMENT ON DOMAIN step_end IS 'One of the two ends of a step';

CREATE DOMAIN step_ref AS text
    CONSTRAINT step_ref_spelt CHECK ((VALUE ~ '^[a-z0-9]+(-[a-z0-9]+)*([.][a-z0-9]+(-[a-z0-9]+)*)?$'::text));
COMMENT ON DOMAIN step_ref IS 'What a step may be called by: its short name, or two joined by a dot: order.stage, place.step, typical.step';

CREATE TABLE account (
    id uuid NOT NULL,
    name text NOT NULL,
    email text,
    proven_at timestamp with time zone,
    password text,
    steward boolean NOT NULL DEFAULT false,
    made_at timestamp with time zone NOT NULL,
    closed_at timestamp with time zone,
    claimed boolean NOT NULL DEFAULT false,
    CONSTRAINT account_pkey PRIMARY KEY (id),
    CONSTRAINT account_email_once UNIQUE (email),
    CONSTRAINT account_email_spelt CHECK (((email = lower(email)) AND (email ~~ '%_@_%'::text))),
    CONSTRAINT account_named CHECK ((name <> ''::text))
);
COMMENT ON TABLE account IS 'Somebody who may sign in';
COMMENT ON COLUMN account.name IS 'What the history says of who changed something';
COMMENT ON COLUMN account.email IS 'In lower case; null: none is known';
COMMENT ON COLUMN account.proven_at IS 'When a link mailed to that address was first used; null: never, so the address may be another''s';
COMMENT ON COLUMN account.password IS 'argon2id of the password, with its settings; null: there is none';
COMMENT ON COLUMN account.steward IS 'The machine''s own owner: owner of every job, may make jobs';
COMMENT ON COLUMN account.closed_at IS 'From when on nothing lets them in any more';
COMMENT ON COLUMN account.claimed IS 'The address was written by the account itself and not by who gave it a seat';

CREATE TABLE answer (
    job short_name NOT NULL,
    name text NOT NULL,
    "window" text NOT NULL,
    trade short_name NOT NULL,
    place short_name NOT NULL,
    from_day date NOT NULL,
    to_day date NOT NULL,
    on_day date NOT NULL,
    by short_name NOT NULL,
    note text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT answer_pkey PRIMARY KEY (job, name),
    CONSTRAINT answer_at_place FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT answer_by_party FOREIGN KEY (job, by) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT answer_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT answer_of_trade FOREIGN KEY (job, trade) REFERENCES trade(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT answer_forward CHECK ((from_day <= to_day)),
    CONSTRAINT answer_named CHECK (starts_with(name, ("window" || ' from '::text)))
);
COMMENT ON TABLE answer IS 'A trade''s word that it cannot come in a window on some days; the days off stand with the trade';
COMMENT ON COLUMN answer.name IS 'Its window and days, with a number in brackets from the second of the same on';
COMMENT ON COLUMN answer.to_day IS 'The last day, included';
COMMENT ON COLUMN answer.on_day IS 'When it said so';
CREATE INDEX answer_by_trade ON public.answer USING btree (job, trade);
CREATE INDEX answer_by_place ON public.answer USING btree (job, place);

CREATE TABLE answer_step (
    job short_name NOT NULL,
    answer text NOT NULL,
    step step_ref NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT answer_step_pkey PRIMARY KEY (job, answer, step),
    CONSTRAINT answer_step_of FOREIGN KEY (job, answer) REFERENCES answer(job, name) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE answer_step IS 'The steps of the window that an answer is about, as they were called then';

CREATE TABLE aside (
    job short_name NOT NULL,
    name text NOT NULL,
    alert text NOT NULL,
    by short_name NOT NULL,
    on_day date NOT NULL,
    reason text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT aside_pkey PRIMARY KEY (job, name),
    CONSTRAINT aside_by_person FOREIGN KEY (job, by) REFERENCES person(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT aside_named CHECK (starts_with(name, "left"(alert, 200))),
    CONSTRAINT aside_reasoned CHECK ((reason <> ''::text))
);
COMMENT ON TABLE aside IS 'An alert put out of sight, with a person''s reason';
COMMENT ON COLUMN aside.name IS 'The alert, cut short where it is long';
COMMENT ON COLUMN aside.alert IS 'The key that the alert keeps from plan to plan';

CREATE TABLE attachment (
    job short_name NOT NULL,
    id uuid NOT NULL,
    step step_ref NOT NULL,
    name text NOT NULL,
    kind text NOT NULL,
    size integer NOT NULL,
    sum bytea NOT NULL,
    content bytea,
    brought_at timestamp with time zone NOT NULL,
    brought_by text NOT NULL,
    brought_account uuid,
    brought_link uuid,
    removed_at timestamp with time zone,
    removed_by text,
    CONSTRAINT attachment_pkey PRIMARY KEY (job, id),
    CONSTRAINT attachment_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT attachment_by_somebody CHECK ((brought_by <> ''::text)),
    CONSTRAINT attachment_kind_known CHECK ((kind = ANY (ARRAY['image/jpeg'::text, 'image/png'::text, 'image/webp'::text, 'application/pdf'::text]))),
    CONSTRAINT attachment_named CHECK (((name <> ''::text) AND (length(name) <= 200))),
    CONSTRAINT attachment_size_counts CHECK (((size > 0) AND ((content IS NULL) OR (size = length(content))))),
    CONSTRAINT attachment_sum_of_sha256 CHECK ((length(sum) = 32)),
    CONSTRAINT attachment_there_or_removed CHECK ((num_nonnulls(removed_at, removed_by) =
CASE
    WHEN (content IS NULL) THEN 2
    ELSE 0
END))
);
COMMENT ON TABLE attachment IS 'What people attach to a step. It is no content of the job: no revision is made, and it stays when the step goes';
COMMENT ON COLUMN attachment.step IS 'The step or hold point it belongs to, as it was called then';
COMMENT ON COLUMN attachment.kind IS 'What the content itself shows that it is, whatever it was sent as';
COMMENT ON COLUMN attachment.sum IS 'SHA-256 of the content';
COMMENT ON COLUMN attachment.content IS 'Null: it was removed; that it was there, and who removed it, stays';
COMMENT ON COLUMN attachment.brought_account IS 'Whose account it was; null: none';
COMMENT ON COLUMN attachment.brought_link IS 'Whose private link it was; null: none';
CREATE UNIQUE INDEX attachment_once ON public.attachment USING btree (job, step, sum, name) WHERE (content IS NOT NULL);

CREATE TABLE build_up (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    outward text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT build_up_pkey PRIMARY KEY (job, id),
    CONSTRAINT build_up_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE build_up IS 'The layers of an assembly, in the order in which they are put there';
COMMENT ON COLUMN build_up.outward IS 'What the layers run from and to';

CREATE TABLE build_up_place (
    job short_name NOT NULL,
    build_up short_name NOT NULL,
    place short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT build_up_place_pkey PRIMARY KEY (job, build_up, place),
    CONSTRAINT build_up_place_known FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT build_up_place_of FOREIGN KEY (job, build_up) REFERENCES build_up(job, id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE build_up_place IS 'Where a build-up is, in order';
CREATE INDEX build_up_place_by_place ON public.build_up_place USING btree (job, place);

CREATE TABLE change (
    job short_name NOT NULL,
    revision bigint NOT NULL,
    line integer NOT NULL,
    at timestamp with time zone NOT NULL,
    who text NOT NULL,
    kind text NOT NULL,
    key text NOT NULL,
    was jsonb,
    "is" jsonb,
    CONSTRAINT change_pkey PRIMARY KEY (job, revision, line),
    CONSTRAINT change_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT change_by_somebody CHECK ((who <> ''::text)),
    CONSTRAINT change_of_something CHECK ((num_nonnulls(was, "is") > 0)),
    CONSTRAINT change_revision_counts CHECK ((revision > 0))
);
COMMENT ON TABLE change IS 'The history of a job: one line for each thing that a change made, changed or took away';
COMMENT ON COLUMN change.revision IS 'The revision that the change made';
COMMENT ON COLUMN change.at IS 'When; the same for all lines of a change';
COMMENT ON COLUMN change.kind IS 'What kind of thing: task, hold, fact, …';
COMMENT ON COLUMN change.key IS 'The name of the thing within the job';
COMMENT ON COLUMN change.was IS 'The thing before; null: it was not there';
COMMENT ON COLUMN change."is" IS 'The thing after; null: it was taken away';

CREATE TABLE closure (
    job short_name NOT NULL,
    name text NOT NULL,
    from_day date NOT NULL,
    to_day date NOT NULL,
    why text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT closure_pkey PRIMARY KEY (job, name),
    CONSTRAINT closure_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT closure_forward CHECK ((from_day <= to_day)),
    CONSTRAINT closure_named CHECK (starts_with(name, ((to_char((from_day)::timestamp with time zone, 'YYYY-MM-DD'::text) || ' to '::text) || to_char((to_day)::timestamp with time zone, 'YYYY-MM-DD'::text))))
);
COMMENT ON TABLE closure IS 'Days, both ends included, on which nobody works on the job';
COMMENT ON COLUMN closure.name IS 'Its days, with a number in brackets from the second of the same on';

CREATE TABLE comparison (
    job short_name NOT NULL,
    revision bigint NOT NULL,
    against text NOT NULL,
    as_of_day date NOT NULL,
    state text NOT NULL,
    asked_at timestamp with time zone NOT NULL,
    ended_at timestamp with time zone,
    outcome jsonb,
    CONSTRAINT comparison_pkey PRIMARY KEY (job, revision, against, as_of_day),
    CONSTRAINT comparison_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT comparison_against_spelt CHECK ((against ~ '^([1-9][0-9]{0,17}|[A-Z]{1,3})$'::text)),
    CONSTRAINT comparison_ends_once CHECK (((ended_at IS NOT NULL) = (state <> 'waiting'::text))),
    CONSTRAINT comparison_has_an_outcome CHECK (((outcome IS NOT NULL) = (state = 'done'::text))),
    CONSTRAINT comparison_revision_counts CHECK ((revision > 0)),
    CONSTRAINT comparison_state_known CHECK ((state = ANY (ARRAY['waiting'::text, 'done'::text, 'given up'::text])))
);
COMMENT ON TABLE comparison IS 'Comparisons that were asked for, and what came of them';
COMMENT ON COLUMN comparison.revision IS 'The later of the two';
COMMENT ON COLUMN comparison.against IS 'The earlier one: a revision by its number, or an issued plan by its letter';
COMMENT ON COLUMN comparison.as_of_day IS 'The day from which plans are computed that are not there';

CREATE TABLE drawing (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    revision text NOT NULL,
    on_day date,
    nr bigint NOT NULL,
    CONSTRAINT drawing_pkey PRIMARY KEY (job, id),
    CONSTRAINT drawing_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT drawing_sent_in_a_revision CHECK (((on_day IS NULL) OR (revision <> ''::text)))
);
COMMENT ON TABLE drawing IS 'A sheet by which work is done';
COMMENT ON COLUMN drawing.revision IS 'The one that counts, as it stands on the sheet; empty: none was sent out yet';
COMMENT ON COLUMN drawing.on_day IS 'The day on which that one was sent out';

CREATE TABLE drawing_place (
    job short_name NOT NULL,
    drawing short_name NOT NULL,
    place short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT drawing_place_pkey PRIMARY KEY (job, drawing, place),
    CONSTRAINT drawing_place_of FOREIGN KEY (job, drawing) REFERENCES drawing(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT drawing_place_place FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE drawing_place IS 'The places of which a drawing shows all work, there and below';
CREATE INDEX drawing_place_by_place ON public.drawing_place USING btree (job, place);

CREATE TABLE drawing_step (
    job short_name NOT NULL,
    drawing short_name NOT NULL,
    step step_ref NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT drawing_step_pkey PRIMARY KEY (job, drawing, step),
    CONSTRAINT drawing_step_of FOREIGN KEY (job, drawing) REFERENCES drawing(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT drawing_step_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE drawing_step IS 'The steps that a drawing shows';
CREATE INDEX drawing_step_by_step ON public.drawing_step USING btree (job, step);

CREATE TABLE due (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    step step_ref NOT NULL,
    on_day date NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT due_pkey PRIMARY KEY (job, id),
    CONSTRAINT due_of_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE due IS 'A day by whose end a step must finish';
CREATE INDEX due_by_step ON public.due USING btree (job, step);

CREATE TABLE fact (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    started_day date,
    started_minute minute_of_day,
    done_day date,
    done_minute minute_of_day,
    booked_day date,
    booked_minute minute_of_day,
    expected_day date,
    expected_minute minute_of_day,
    released_day date,
    released_minute minute_of_day,
    refused_day date,
    refused_minute minute_of_day,
    remaining span,
    measured integer,
    by short_name,
    note text NOT NULL,
    evidence text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT fact_pkey PRIMARY KEY (job, step),
    CONSTRAINT fact_by_party FOREIGN KEY (job, by) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT fact_of_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT fact_booked_day CHECK (((booked_minute IS NULL) OR (booked_day IS NOT NULL))),
    CONSTRAINT fact_done_day CHECK (((done_minute IS NULL) OR (done_day IS NOT NULL))),
    CONSTRAINT fact_expected_day CHECK (((expected_minute IS NULL) OR (expected_day IS NOT NULL))),
    CONSTRAINT fact_refused_day CHECK (((refused_minute IS NULL) OR (refused_day IS NOT NULL))),
    CONSTRAINT fact_released_day CHECK (((released_minute IS NULL) OR (released_day IS NOT NULL))),
    CONSTRAINT fact_started_day CHECK (((started_minute IS NULL) OR (started_day IS NOT NULL)))
);
COMMENT ON TABLE fact IS 'What has been recorded of one step. A minute of null beside a day: the day alone is known';
COMMENT ON COLUMN fact.started_day IS 'When: of a task or stage';
COMMENT ON COLUMN fact.done_day IS 'When: of a task or stage';
COMMENT ON COLUMN fact.booked_day IS 'When: the visit has been arranged for then';
COMMENT ON COLUMN fact.expected_day IS 'When: the latest word on when it comes';
COMMENT ON COLUMN fact.released_day IS 'When: of a hold';
COMMENT ON COLUMN fact.refused_day IS 'When: of a hold: looked at and not released';
COMMENT ON COLUMN fact.remaining IS 'What is left of a started step';
COMMENT ON COLUMN fact.measured IS 'mm, what was found';
COMMENT ON COLUMN fact.by IS 'The trade or person who released, refused or reported';

CREATE TABLE gear (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    count integer NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT gear_pkey PRIMARY KEY (job, id),
    CONSTRAINT gear_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT gear_counted CHECK ((count >= 0))
);
COMMENT ON TABLE gear IS 'Something shared and scarce that tasks hold while they run';
COMMENT ON COLUMN gear.count IS 'How many of it there are';

CREATE TABLE hold (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    typical short_name,
    title text NOT NULL,
    kind text NOT NULL,
    witness boolean NOT NULL,
    by short_name NOT NULL,
    notice span NOT NULL,
    nominal integer,
    tolerance integer NOT NULL,
    crews integer NOT NULL,
    takes span NOT NULL,
    alone boolean NOT NULL,
    dry boolean,
    wind_below integer,
    min_temperature integer,
    cautions cautions NOT NULL,
    note text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT hold_pkey PRIMARY KEY (job, step),
    CONSTRAINT hold_by_person FOREIGN KEY (job, by) REFERENCES person(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_is_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_of_typical FOREIGN KEY (job, typical) REFERENCES typical(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_crews_counted CHECK ((crews >= 0)),
    CONSTRAINT hold_kind_known CHECK ((kind = ANY (ARRAY['delivery'::text, 'inspection'::text, 'test'::text, 'decision'::text, 'measure'::text, 'approval'::text, 'mock-up'::text]))),
    CONSTRAINT hold_measure_only CHECK (((kind = 'measure'::text) OR ((nominal IS NULL) AND (tolerance = 0)))),
    CONSTRAINT hold_named CHECK (
CASE
    WHEN (typical IS NULL) THEN (POSITION(('.'::text) IN (step)) = 0)
    ELSE starts_with((step)::text, ((typical)::text || '.'::text))
END),
    CONSTRAINT hold_tolerance_counted CHECK ((tolerance >= 0)),
    CONSTRAINT hold_weather_whole CHECK (((dry IS NOT NULL) OR ((wind_below IS NULL) AND (min_temperature IS NULL))))
);
COMMENT ON TABLE hold IS 'A gate: what depends on it does not start until a named person releases it';
COMMENT ON COLUMN hold.step IS 'Its name; of one that a typical repeats, typical.name';
COMMENT ON COLUMN hold.witness IS 'It stands open once its notice has passed and nobody came';
COMMENT ON COLUMN hold.by IS 'Who releases it';
COMMENT ON COLUMN hold.notice IS 'How long before the visit that person must be told';
COMMENT ON COLUMN hold.nominal IS 'mm, what a measure should be';
COMMENT ON COLUMN hold.tolerance IS 'mm, how far off it may be';
CREATE INDEX hold_by_typical ON public.hold USING btree (job, typical);
CREATE INDEX hold_by_person ON public.hold USING btree (job, by);

CREATE TABLE hold_gear (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    gear short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT hold_gear_pkey PRIMARY KEY (job, step, gear),
    CONSTRAINT hold_gear_known FOREIGN KEY (job, gear) REFERENCES gear(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_gear_of FOREIGN KEY (job, step) REFERENCES hold(job, step) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE hold_gear IS 'The gear of a hold, in order';
CREATE INDEX hold_gear_by_gear ON public.hold_gear USING btree (job, gear);

CREATE TABLE hold_place (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    place short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT hold_place_pkey PRIMARY KEY (job, step, place),
    CONSTRAINT hold_place_known FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_place_of FOREIGN KEY (job, step) REFERENCES hold(job, step) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE hold_place IS 'The places of a hold, in order';
CREATE INDEX hold_place_by_place ON public.hold_place USING btree (job, place);

CREATE TABLE hold_trade (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    trade short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT hold_trade_pkey PRIMARY KEY (job, step, trade),
    CONSTRAINT hold_trade_known FOREIGN KEY (job, trade) REFERENCES trade(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_trade_of FOREIGN KEY (job, step) REFERENCES hold(job, step) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE hold_trade IS 'The trades of a hold, in order';
CREATE INDEX hold_trade_by_trade ON public.hold_trade USING btree (job, trade);

CREATE TABLE issue (
    job short_name NOT NULL,
    letter text NOT NULL,
    on_day date NOT NULL,
    as_of_day date NOT NULL,
    by short_name NOT NULL,
    note text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT issue_pkey PRIMARY KEY (job, letter),
    CONSTRAINT issue_by_person FOREIGN KEY (job, by) REFERENCES person(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT issue_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT issue_lettered CHECK ((letter ~ '^[A-Z]{1,4}$'::text))
);
COMMENT ON TABLE issue IS 'A plan that was sent out as the agreed one, with its revision letter';
COMMENT ON COLUMN issue.on_day IS 'The day it was sent out';
COMMENT ON COLUMN issue.as_of_day IS 'The day its plan was computed from';
CREATE INDEX issue_by_person ON public.issue USING btree (job, by);

CREATE TABLE issued_plan (
    job short_name NOT NULL,
    letter text NOT NULL,
    revision bigint NOT NULL,
    as_of_day date NOT NULL,
    made_at timestamp with time zone NOT NULL,
    who text NOT NULL,
    plan jsonb NOT NULL,
    CONSTRAINT issued_plan_pkey PRIMARY KEY (job, letter),
    CONSTRAINT issued_plan_of_issue FOREIGN KEY (job, letter) REFERENCES issue(job, letter) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT issued_plan_by_somebody CHECK ((who <> ''::text)),
    CONSTRAINT issued_plan_once UNIQUE (job, revision)
);
COMMENT ON TABLE issued_plan IS 'The plans that were sent out, as they were. Nothing here is ever changed or taken away';
COMMENT ON COLUMN issued_plan.revision IS 'The revision of the job that the issue made';
COMMENT ON COLUMN issued_plan.who IS 'In whose name, as the history has it';

CREATE TABLE job (
    id short_name NOT NULL,
    revision bigint NOT NULL DEFAULT 0,
    changed_at timestamp with time zone NOT NULL DEFAULT '-infinity'::timestamp with time zone,
    title text NOT NULL,
    zone text NOT NULL,
    start_day date NOT NULL,
    as_of_day date,
    day_span span NOT NULL,
    access text NOT NULL DEFAULT ''::text,
    parking text NOT NULL DEFAULT ''::text,
    unloading text NOT NULL DEFAULT ''::text,
    storage text NOT NULL DEFAULT ''::text,
    lifting text NOT NULL DEFAULT ''::text,
    power text NOT NULL DEFAULT ''::text,
    CONSTRAINT job_pkey PRIMARY KEY (id),
    CONSTRAINT job_revision_counts CHECK ((revision >= 0))
);
COMMENT ON TABLE job IS 'One building project';
COMMENT ON COLUMN job.revision IS 'How many changes the job has seen; each raises it by one';
COMMENT ON COLUMN job.changed_at IS 'When the newest of them was made';
COMMENT ON COLUMN job.zone IS 'IANA time zone of all its days and times';
COMMENT ON COLUMN job.start_day IS 'No work before this day';
COMMENT ON COLUMN job.as_of_day IS 'The day the plan is computed from, where a person fixed it';
COMMENT ON COLUMN job.day_span IS 'What "1 day" of work means; no length: the longest day of the week';
COMMENT ON COLUMN job.access IS 'How to get into the site, and who has the key';
COMMENT ON COLUMN job.storage IS 'Where what was brought may lie';
COMMENT ON COLUMN job.lifting IS 'What there is to lift with, and whom to ask for it';
COMMENT ON COLUMN job.power IS 'Where to plug in, and where water is';

CREATE TABLE job_period (
    job short_name NOT NULL,
    weekday smallint NOT NULL,
    from_minute minute_of_day NOT NULL,
    to_minute minute_of_day NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT job_period_pkey PRIMARY KEY (job, weekday, from_minute),
    CONSTRAINT job_period_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT job_period_forward CHECK (((from_minute)::smallint < (to_minute)::smallint)),
    CONSTRAINT job_period_weekday CHECK (((weekday >= 0) AND (weekday <= 6)))
);
COMMENT ON TABLE job_period IS 'The working periods of the site''s week';
COMMENT ON COLUMN job_period.weekday IS '0 is Sunday';

CREATE TABLE layer (
    job short_name NOT NULL,
    build_up short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    material text NOT NULL,
    thickness integer NOT NULL,
    by_step step_ref NOT NULL,
    cure span NOT NULL,
    exposed span,
    source text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT layer_pkey PRIMARY KEY (job, build_up, id),
    CONSTRAINT layer_by_step FOREIGN KEY (job, by_step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT layer_of FOREIGN KEY (job, build_up) REFERENCES build_up(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT layer_thickness_counted CHECK ((thickness >= 0))
);
COMMENT ON TABLE layer IS 'One layer of a build-up; nr orders the layers as they are put there';
COMMENT ON COLUMN layer.thickness IS 'mm; 0: not given';
COMMENT ON COLUMN layer.by_step IS 'The step that puts it there';
COMMENT ON COLUMN layer.cure IS 'The least time before it is covered';
COMMENT ON COLUMN layer.exposed IS 'The most time, from the start of its step to the finish of the next, that it may stay uncovered';
COMMENT ON COLUMN layer.source IS 'Where the limit or the cure comes from';
CREATE INDEX layer_by_laying_step ON public.layer USING btree (job, by_step);

CREATE TABLE layer_seen (
    job short_name NOT NULL,
    build_up short_name NOT NULL,
    layer short_name NOT NULL,
    hold step_ref NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT layer_seen_pkey PRIMARY KEY (job, build_up, layer, hold),
    CONSTRAINT layer_seen_hold FOREIGN KEY (job, hold) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT layer_seen_of FOREIGN KEY (job, build_up, layer) REFERENCES layer(job, build_up, id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE layer_seen IS 'The holds to be released before a layer is covered';
CREATE INDEX layer_seen_by_hold ON public.layer_seen USING btree (job, hold);

CREATE TABLE occupation (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    place short_name,
    gear short_name,
    from_step step_ref NOT NULL,
    to_step step_ref NOT NULL,
    alone boolean NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT occupation_pkey PRIMARY KEY (job, id),
    CONSTRAINT occupation_from_step FOREIGN KEY (job, from_step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_of_gear FOREIGN KEY (job, gear) REFERENCES gear(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_of_place FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_to_step FOREIGN KEY (job, to_step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_of_one CHECK ((num_nonnulls(place, gear) = 1))
);
COMMENT ON TABLE occupation IS 'A place or gear held from the start of one step to the finish of another';
COMMENT ON COLUMN occupation.alone IS 'The whole place is held, not one task''s room of it';
CREATE INDEX occupation_by_from ON public.occupation USING btree (job, from_step);
CREATE INDEX occupation_by_to ON public.occupation USING btree (job, to_step);

CREATE TABLE occupation_admits (
    job short_name NOT NULL,
    occupation short_name NOT NULL,
    step step_ref NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT occupation_admits_pkey PRIMARY KEY (job, occupation, step),
    CONSTRAINT occupation_admits_of FOREIGN KEY (job, occupation) REFERENCES occupation(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_admits_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE occupation_admits IS 'Steps that may be in an occupied place all the same';
CREATE INDEX occupation_admits_by_step ON public.occupation_admits USING btree (job, step);

CREATE TABLE "order" (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    supplier short_name,
    receives short_name,
    unload span NOT NULL,
    keep span NOT NULL,
    stand_in text NOT NULL,
    cautions cautions NOT NULL,
    note text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT order_pkey PRIMARY KEY (job, id),
    CONSTRAINT order_from_party FOREIGN KEY (job, supplier) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT order_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT order_received_by_party FOREIGN KEY (job, receives) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE "order" IS 'A long-lead item: stages one after the other, ending in a delivery';
COMMENT ON COLUMN "order".supplier IS 'A trade or a person';
COMMENT ON COLUMN "order".receives IS 'The trade or person who receives and unloads it';
COMMENT ON COLUMN "order".keep IS 'How long it may sit before it is used; no length: 10 days';
COMMENT ON COLUMN "order".stand_in IS 'What stands in for it if it is late';

CREATE TABLE order_gear (
    job short_name NOT NULL,
    "order" short_name NOT NULL,
    gear short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT order_gear_pkey PRIMARY KEY (job, "order", gear),
    CONSTRAINT order_gear_known FOREIGN KEY (job, gear) REFERENCES gear(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT order_gear_of FOREIGN KEY (job, "order") REFERENCES "order"(job, id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE order_gear IS 'What is held while an order is unloaded, in order';

CREATE TABLE order_place (
    job short_name NOT NULL,
    "order" short_name NOT NULL,
    place short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT order_place_pkey PRIMARY KEY (job, "order", place),
    CONSTRAINT order_place_known FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT order_place_of FOREIGN KEY (job, "order") REFERENCES "order"(job, id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE order_place IS 'Where an order is brought, in order';

CREATE TABLE party (
    job short_name NOT NULL,
    id short_name NOT NULL,
    CONSTRAINT party_pkey PRIMARY KEY (job, id),
    CONSTRAINT party_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE party IS 'Every name of a trade or a person, kept with each change, for whoever may be either';

CREATE TABLE person (
    job short_name NOT NULL,
    id short_name NOT NULL,
    name text NOT NULL,
    role text NOT NULL,
    trade short_name,
    nr bigint NOT NULL,
    CONSTRAINT person_pkey PRIMARY KEY (job, id),
    CONSTRAINT person_is_party FOREIGN KEY (job, id) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT person_of_trade FOREIGN KEY (job, trade) REFERENCES trade(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT person_role_known CHECK ((role = ANY (ARRAY['owner'::text, 'designer'::text, 'site lead'::text, 'trade'::text, 'inspector'::text, 'engineer'::text, 'supplier'::text, 'reader'::text])))
);
COMMENT ON TABLE person IS 'Somebody who releases, decides, answers or is told';
COMMENT ON COLUMN person.trade IS 'The firm the person belongs to';
CREATE INDEX person_by_trade ON public.person USING btree (job, trade);

CREATE TABLE pin (
    job short_name NOT NULL,
    name text NOT NULL,
    step step_ref NOT NULL,
    on_day date,
    not_before_day date,
    by short_name,
    reason text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT pin_pkey PRIMARY KEY (job, name),
    CONSTRAINT pin_by_person FOREIGN KEY (job, by) REFERENCES person(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT pin_of_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT pin_named CHECK (starts_with(name, (step)::text)),
    CONSTRAINT pin_one_day CHECK ((num_nonnulls(on_day, not_before_day) = 1))
);
COMMENT ON TABLE pin IS 'A person''s word about when a step starts: on a day, or not before one';
CREATE INDEX pin_by_step ON public.pin USING btree (job, step);

CREATE TABLE place (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    within short_name,
    room integer NOT NULL,
    own_week boolean NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT place_pkey PRIMARY KEY (job, id),
    CONSTRAINT place_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT place_within_place FOREIGN KEY (job, within) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT place_not_within_itself CHECK (((within)::text <> (id)::text)),
    CONSTRAINT place_room_counted CHECK ((room >= 0))
);
COMMENT ON TABLE place IS 'A part of the building, in a tree';
COMMENT ON COLUMN place.within IS 'The place around it';
COMMENT ON COLUMN place.room IS 'How many tasks at once here and below; 0: no limit';
COMMENT ON COLUMN place.own_week IS 'It is worked at by periods of its own, in place_period, and not by the site''s';
CREATE INDEX place_by_within ON public.place USING btree (job, within);

CREATE TABLE place_closure (
    job short_name NOT NULL,
    place short_name NOT NULL,
    name text NOT NULL,
    from_day date NOT NULL,
    to_day date NOT NULL,
    why text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT place_closure_pkey PRIMARY KEY (job, place, name),
    CONSTRAINT place_closure_of FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT place_closure_forward CHECK ((from_day <= to_day))
);
COMMENT ON TABLE place_closure IS 'Days, both ends included, on which nobody works at a place';

CREATE TABLE place_period (
    job short_name NOT NULL,
    place short_name NOT NULL,
    weekday smallint NOT NULL,
    from_minute minute_of_day NOT NULL,
    to_minute minute_of_day NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT place_period_pkey PRIMARY KEY (job, place, weekday, from_minute),
    CONSTRAINT place_period_of FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT place_period_forward CHECK (((from_minute)::smallint < (to_minute)::smallint)),
    CONSTRAINT place_period_weekday CHECK (((weekday >= 0) AND (weekday <= 6)))
);
COMMENT ON TABLE place_period IS 'The working periods of a place''s own week';

CREATE TABLE plan (
    job short_name NOT NULL,
    revision bigint NOT NULL,
    as_of_day date NOT NULL,
    take integer NOT NULL,
    usual boolean NOT NULL,
    engine integer NOT NULL,
    finish timestamp with time zone NOT NULL,
    proven boolean NOT NULL,
    made_at timestamp with time zone NOT NULL,
    plan bytea NOT NULL,
    CONSTRAINT plan_pkey PRIMARY KEY (job, revision, as_of_day),
    CONSTRAINT plan_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT plan_revision_counts CHECK ((revision > 0)),
    CONSTRAINT plan_take_counts CHECK ((take > 0))
);
COMMENT ON TABLE plan IS 'Plans as they were computed; superseded ones are removed';
COMMENT ON COLUMN plan.revision IS 'The revision of the job it is a plan of';
COMMENT ON COLUMN plan.as_of_day IS 'The day it was computed from';
COMMENT ON COLUMN plan.take IS '1 for the first plan of this revision and day, one more each time a better one has taken its place';
COMMENT ON COLUMN plan.usual IS 'Whether that is the day from which the job is planned when nobody names one';
COMMENT ON COLUMN plan.engine IS 'The generation of the solver that made it';
COMMENT ON COLUMN plan.plan IS 'The plan as JSON, deflated: a plan of 200 steps is half a megabyte of JSON';

CREATE TABLE promise (
    job short_name NOT NULL,
    "window" text NOT NULL,
    trade short_name NOT NULL,
    place short_name NOT NULL,
    from_day date NOT NULL,
    until_day date NOT NULL,
    letter text,
    confirmed_day date,
    by short_name,
    nr bigint NOT NULL,
    CONSTRAINT promise_pkey PRIMARY KEY (job, "window"),
    CONSTRAINT promise_at_place FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_by_party FOREIGN KEY (job, by) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_of_issue FOREIGN KEY (job, letter) REFERENCES issue(job, letter) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_of_trade FOREIGN KEY (job, trade) REFERENCES trade(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_confirmed_by CHECK ((num_nonnulls(confirmed_day, by) = ANY (ARRAY[0, 2]))),
    CONSTRAINT promise_forward CHECK ((from_day <= until_day)),
    CONSTRAINT promise_made CHECK (((letter IS NOT NULL) OR (confirmed_day IS NOT NULL))),
    CONSTRAINT promise_named CHECK (starts_with("window", ((((trade)::text || '.'::text) || (place)::text) || '.'::text)))
);
COMMENT ON TABLE promise IS 'A window of access that was agreed with a trade: issued, confirmed, or both';
COMMENT ON COLUMN promise."window" IS 'Trade, place and first step, joined by dots';
COMMENT ON COLUMN promise.until_day IS 'The last day, included';
COMMENT ON COLUMN promise.letter IS 'The issue it stems from';
COMMENT ON COLUMN promise.confirmed_day IS 'When the trade said that it comes';
COMMENT ON COLUMN promise.by IS 'Who confirmed it: the trade, or a person who had its word';
CREATE INDEX promise_by_trade ON public.promise USING btree (job, trade);
CREATE INDEX promise_by_place ON public.promise USING btree (job, place);
CREATE INDEX promise_by_letter ON public.promise USING btree (job, letter);

CREATE TABLE promise_step (
    job short_name NOT NULL,
    promise text NOT NULL,
    step step_ref NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT promise_step_pkey PRIMARY KEY (job, promise, step),
    CONSTRAINT promise_step_of FOREIGN KEY (job, promise) REFERENCES promise(job, "window") DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE promise_step IS 'The steps of a promised window, as they were called then; a step may be gone since';

CREATE TABLE receipt (
    job short_name NOT NULL,
    actor uuid NOT NULL,
    key text NOT NULL,
    print text NOT NULL,
    revision bigint NOT NULL,
    at timestamp with time zone NOT NULL,
    CONSTRAINT receipt_pkey PRIMARY KEY (job, actor, key),
    CONSTRAINT receipt_job_fkey FOREIGN KEY (job) REFERENCES job(id)
);
COMMENT ON TABLE receipt IS 'Requests with a key of their own and what each gave';
COMMENT ON COLUMN receipt.actor IS 'The account or private link that it came from; all zeros: neither';
COMMENT ON COLUMN receipt.print IS 'The fingerprint of the request';
COMMENT ON COLUMN receipt.revision IS 'The revision of the job; of a trial its number, or its version';
CREATE INDEX receipt_by_age ON public.receipt USING btree (job, at);

CREATE TABLE revision (
    job short_name NOT NULL,
    revision bigint NOT NULL,
    at timestamp with time zone NOT NULL,
    who text NOT NULL,
    account uuid,
    link uuid,
    undoes bigint,
    delta jsonb NOT NULL,
    note text NOT NULL DEFAULT ''::text,
    renames jsonb,
    CONSTRAINT revision_pkey PRIMARY KEY (job, revision),
    CONSTRAINT revision_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT revision_by_somebody CHECK ((who <> ''::text)),
    CONSTRAINT revision_counted CHECK ((revision > 0)),
    CONSTRAINT revision_undoes_an_earlier CHECK (((undoes > 0) AND (undoes < revision)))
);
COMMENT ON TABLE revision IS 'Every change of a job: who made it, and the rows as they were and as they are';
COMMENT ON COLUMN revision.account IS 'The account that made it, where one did';
COMMENT ON COLUMN revision.link IS 'The private link through which a trade made it';
COMMENT ON COLUMN revision.undoes IS 'The revision that this one undid';
COMMENT ON COLUMN revision.delta IS 'By table: "was" has the rows that went or changed, "is" those that came or changed. Empty for the revision that made the job';
COMMENT ON COLUMN revision.note IS 'What the change as a whole was, in words, where somebody said so';
COMMENT ON COLUMN revision.renames IS 'The names that things were given instead of others, by kind; null: none were';
CREATE INDEX revision_by_undone ON public.revision USING btree (job, undoes) WHERE (undoes IS NOT NULL);

CREATE TABLE search (
    job short_name NOT NULL,
    revision bigint NOT NULL,
    as_of_day date NOT NULL,
    state text NOT NULL,
    round integer NOT NULL DEFAULT 0,
    rounds integer NOT NULL,
    finish timestamp with time zone NOT NULL,
    proven boolean NOT NULL DEFAULT false,
    asked_at timestamp with time zone NOT NULL,
    begun_at timestamp with time zone,
    ended_at timestamp with time zone,
    CONSTRAINT search_pkey PRIMARY KEY (job, revision, as_of_day),
    CONSTRAINT search_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT search_ends_once CHECK (((ended_at IS NOT NULL) = (state = ANY (ARRAY['done'::text, 'overtaken'::text, 'given up'::text])))),
    CONSTRAINT search_revision_counts CHECK ((revision > 0)),
    CONSTRAINT search_round_in_turn CHECK (((round >= 0) AND (round <= rounds))),
    CONSTRAINT search_state_known CHECK ((state = ANY (ARRAY['waiting'::text, 'running'::text, 'done'::text, 'overtaken'::text, 'given up'::text])))
);
COMMENT ON TABLE search IS 'Long searches for better plans: one for each revision and day, ever';
COMMENT ON COLUMN search.state IS 'overtaken: the job has changed meanwhile; given up: it failed again and again';
COMMENT ON COLUMN search.round IS 'How many rounds have been searched';
COMMENT ON COLUMN search.finish IS 'The finish of the best plan known';
COMMENT ON COLUMN search.proven IS 'Whether that plan is proven the shortest';

CREATE TABLE seat (
    account uuid NOT NULL,
    job short_name NOT NULL,
    role text NOT NULL,
    person short_name,
    CONSTRAINT seat_pkey PRIMARY KEY (account, job),
    CONSTRAINT seat_account_fkey FOREIGN KEY (account) REFERENCES account(id),
    CONSTRAINT seat_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT seat_role_known CHECK ((role = ANY (ARRAY['owner'::text, 'designer'::text, 'site lead'::text, 'reader'::text])))
);
COMMENT ON TABLE seat IS 'What an account is on a job';
COMMENT ON COLUMN seat.person IS 'The person of the job it acts as; the job may have lost that person meanwhile';
CREATE INDEX seat_of_job ON public.seat USING btree (job);

CREATE TABLE session (
    token hash NOT NULL,
    id uuid NOT NULL,
    account uuid,
    trade_link uuid,
    device text NOT NULL,
    made_at timestamp with time zone NOT NULL,
    seen_at timestamp with time zone NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    ended_at timestamp with time zone,
    CONSTRAINT session_pkey PRIMARY KEY (token),
    CONSTRAINT session_account_fkey FOREIGN KEY (account) REFERENCES account(id),
    CONSTRAINT session_trade_link_fkey FOREIGN KEY (trade_link) REFERENCES trade_link(id),
    CONSTRAINT session_id_once UNIQUE (id),
    CONSTRAINT session_of_one CHECK ((num_nonnulls(account, trade_link) = 1))
);
COMMENT ON TABLE session IS 'One device that is signed in, for an account or for a trade''s link';
COMMENT ON COLUMN session.token IS 'Of what the cookie or the bearer holds';
COMMENT ON COLUMN session.id IS 'What it is called when it is listed and ended';
COMMENT ON COLUMN session.device IS 'What kind of device, in few plain words';
COMMENT ON COLUMN session.seen_at IS 'When it was last used, give or take some minutes';
CREATE INDEX session_of_account ON public.session USING btree (account);
CREATE INDEX session_of_trade_link ON public.session USING btree (trade_link);

CREATE TABLE shown_window (
    job short_name NOT NULL,
    trade short_name NOT NULL,
    uid text NOT NULL,
    steps text[] NOT NULL,
    place short_name NOT NULL,
    sequence integer NOT NULL,
    changed_at timestamp with time zone NOT NULL,
    from_at timestamp with time zone NOT NULL,
    until_at timestamp with time zone NOT NULL,
    summary text NOT NULL,
    words text NOT NULL,
    cancelled boolean NOT NULL,
    revision bigint NOT NULL,
    CONSTRAINT shown_window_pkey PRIMARY KEY (job, uid),
    CONSTRAINT shown_window_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT shown_window_counts CHECK ((sequence >= 0))
);
COMMENT ON TABLE shown_window IS 'What the calendars of trades have been shown, so that an event keeps its name and counts up only when it has changed';
COMMENT ON COLUMN shown_window.uid IS 'The name of the event in calendars';
COMMENT ON COLUMN shown_window.sequence IS 'How often it has been shown differently';
COMMENT ON COLUMN shown_window.changed_at IS 'When it was first shown as it is now';
COMMENT ON COLUMN shown_window.cancelled IS 'The window was gone while it lay ahead';
COMMENT ON COLUMN shown_window.revision IS 'The revision of the job that it was shown of last';
CREATE INDEX shown_window_by_trade ON public.shown_window USING btree (job, trade);

CREATE TABLE sign_in_link (
    secret hash NOT NULL,
    account uuid NOT NULL,
    handed text NOT NULL,
    made_at timestamp with time zone NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    spent_at timestamp with time zone,
    CONSTRAINT sign_in_link_pkey PRIMARY KEY (secret),
    CONSTRAINT sign_in_link_account_fkey FOREIGN KEY (account) REFERENCES account(id),
    CONSTRAINT sign_in_link_handed_known CHECK ((handed = ANY (ARRAY['printed'::text, 'mailed'::text, 'shown'::text])))
);
COMMENT ON TABLE sign_in_link IS 'A link that signs one device in, once';
COMMENT ON COLUMN sign_in_link.handed IS 'How it reached its reader: printed by the program where it runs, mailed, or shown on a page';
CREATE INDEX sign_in_link_of_account ON public.sign_in_link USING btree (account);

CREATE TABLE stage (
    job short_name NOT NULL,
    "order" short_name NOT NULL,
    id short_name NOT NULL,
    step step_ref NOT NULL GENERATED ALWAYS AS (((("order")::text || '.'::text) || (id)::text)) STORED,
    title text NOT NULL,
    takes span NOT NULL,
    by short_name,
    nr bigint NOT NULL,
    at_best span NOT NULL DEFAULT '0 minutes'::text,
    at_worst span NOT NULL DEFAULT '0 minutes'::text,
    CONSTRAINT stage_pkey PRIMARY KEY (job, "order", id),
    CONSTRAINT stage_by_party FOREIGN KEY (job, by) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT stage_is_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT stage_of_order FOREIGN KEY (job, "order") REFERENCES "order"(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT stage_not_delivery CHECK (((id)::text <> 'delivery'::text))
);
COMMENT ON TABLE stage IS 'One leg of an order: shop drawing, approval, making, carriage';
COMMENT ON COLUMN stage.by IS 'The trade or person whose turn it is';
COMMENT ON COLUMN stage.at_best IS 'The least it could take; no length: no less than it takes';
COMMENT ON COLUMN stage.at_worst IS 'The most it could take; no length: no more than it takes';
CREATE INDEX stage_by_step ON public.stage USING btree (job, step);

CREATE TABLE step_name (
    job short_name NOT NULL,
    name step_ref NOT NULL,
    CONSTRAINT step_name_pkey PRIMARY KEY (job, name),
    CONSTRAINT step_name_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE step_name IS 'Every name that a step may be called by, kept with each change: tasks, holds, order.stage, typical.step (every instance) and place.step (one instance). Whatever names a step refers to it';

CREATE TABLE task (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    typical short_name,
    title text NOT NULL,
    crews integer NOT NULL,
    takes span NOT NULL,
    alone boolean NOT NULL,
    dry boolean,
    wind_below integer,
    min_temperature integer,
    cautions cautions NOT NULL,
    note text NOT NULL,
    nr bigint NOT NULL,
    at_best span NOT NULL DEFAULT '0 minutes'::text,
    at_worst span NOT NULL DEFAULT '0 minutes'::text,
    CONSTRAINT task_pkey PRIMARY KEY (job, step),
    CONSTRAINT task_is_step FOREIGN KEY (job, step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_of_typical FOREIGN KEY (job, typical) REFERENCES typical(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_crews_counted CHECK ((crews >= 0)),
    CONSTRAINT task_named CHECK (
CASE
    WHEN (typical IS NULL) THEN (POSITION(('.'::text) IN (step)) = 0)
    ELSE starts_with((step)::text, ((typical)::text || '.'::text))
END),
    CONSTRAINT task_weather_whole CHECK (((dry IS NOT NULL) OR ((wind_below IS NULL) AND (min_temperature IS NULL))))
);
COMMENT ON TABLE task IS 'Work by one or more trades in one place or several';
COMMENT ON COLUMN task.step IS 'Its name; of one that a typical repeats, typical.name';
COMMENT ON COLUMN task.typical IS 'The typical it belongs to';
COMMENT ON COLUMN task.crews IS 'Crews of each of its trades';
COMMENT ON COLUMN task.alone IS 'Nobody else may be in its places meanwhile';
COMMENT ON COLUMN task.dry IS 'It needs dry weather; null: it needs nothing of the sky';
COMMENT ON COLUMN task.wind_below IS 'm/s, daily mean';
COMMENT ON COLUMN task.min_temperature IS 'degrees Celsius';
COMMENT ON COLUMN task.at_best IS 'The least it could take; no length: no less than it takes';
COMMENT ON COLUMN task.at_worst IS 'The most it could take; no length: no more than it takes';
CREATE INDEX task_by_typical ON public.task USING btree (job, typical);

CREATE TABLE task_gear (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    gear short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT task_gear_pkey PRIMARY KEY (job, step, gear),
    CONSTRAINT task_gear_known FOREIGN KEY (job, gear) REFERENCES gear(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_gear_of FOREIGN KEY (job, step) REFERENCES task(job, step) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE task_gear IS 'The gear of a task, in order';
CREATE INDEX task_gear_by_gear ON public.task_gear USING btree (job, gear);

CREATE TABLE task_place (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    place short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT task_place_pkey PRIMARY KEY (job, step, place),
    CONSTRAINT task_place_known FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_place_of FOREIGN KEY (job, step) REFERENCES task(job, step) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE task_place IS 'The places of a task, in order';
CREATE INDEX task_place_by_place ON public.task_place USING btree (job, place);

CREATE TABLE task_trade (
    job short_name NOT NULL,
    step step_ref NOT NULL,
    trade short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT task_trade_pkey PRIMARY KEY (job, step, trade),
    CONSTRAINT task_trade_known FOREIGN KEY (job, trade) REFERENCES trade(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_trade_of FOREIGN KEY (job, step) REFERENCES task(job, step) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE task_trade IS 'The trades of a task, in order';
CREATE INDEX task_trade_by_trade ON public.task_trade USING btree (job, trade);

CREATE TABLE trade (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    short text NOT NULL,
    crews integer NOT NULL,
    own_week boolean NOT NULL,
    notice span NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT trade_pkey PRIMARY KEY (job, id),
    CONSTRAINT trade_is_party FOREIGN KEY (job, id) REFERENCES party(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT trade_crews_counted CHECK ((crews >= 0))
);
COMMENT ON TABLE trade IS 'A firm or gang';
COMMENT ON COLUMN trade.short IS 'A few letters that stand for it on drawings';
COMMENT ON COLUMN trade.crews IS 'How many crews it can send at once';
COMMENT ON COLUMN trade.own_week IS 'It works by periods of its own, in trade_period, and not by the site''s';
COMMENT ON COLUMN trade.notice IS 'How long before a visit it must be told';

CREATE TABLE trade_link (
    id uuid NOT NULL,
    job short_name NOT NULL,
    trade short_name NOT NULL,
    label text NOT NULL,
    secret hash NOT NULL,
    calendar hash NOT NULL,
    made_by text NOT NULL,
    made_at timestamp with time zone NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    revoked_at timestamp with time zone,
    used_at timestamp with time zone,
    CONSTRAINT trade_link_pkey PRIMARY KEY (id),
    CONSTRAINT trade_link_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT trade_link_calendar_once UNIQUE (calendar),
    CONSTRAINT trade_link_labelled CHECK ((label <> ''::text)),
    CONSTRAINT trade_link_lasts CHECK ((expires_at > made_at)),
    CONSTRAINT trade_link_secret_once UNIQUE (secret)
);
COMMENT ON TABLE trade_link IS 'A trade''s private way to its own windows; any number of devices may use it';
COMMENT ON COLUMN trade_link.trade IS 'The job may have lost that trade meanwhile';
COMMENT ON COLUMN trade_link.label IS 'Whom it was given to: the name in the history';
COMMENT ON COLUMN trade_link.secret IS 'What the link holds';
COMMENT ON COLUMN trade_link.calendar IS 'What the address of its calendar holds, which opens nothing else';
COMMENT ON COLUMN trade_link.made_by IS 'The name of who made it';
COMMENT ON COLUMN trade_link.used_at IS 'When it was last used, give or take some minutes';
CREATE INDEX trade_link_of_job ON public.trade_link USING btree (job);

CREATE TABLE trade_off (
    job short_name NOT NULL,
    trade short_name NOT NULL,
    name text NOT NULL,
    from_day date NOT NULL,
    to_day date NOT NULL,
    why text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT trade_off_pkey PRIMARY KEY (job, trade, name),
    CONSTRAINT trade_off_of FOREIGN KEY (job, trade) REFERENCES trade(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT trade_off_forward CHECK ((from_day <= to_day))
);
COMMENT ON TABLE trade_off IS 'Days, both ends included, on which a trade does not come';

CREATE TABLE trade_period (
    job short_name NOT NULL,
    trade short_name NOT NULL,
    weekday smallint NOT NULL,
    from_minute minute_of_day NOT NULL,
    to_minute minute_of_day NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT trade_period_pkey PRIMARY KEY (job, trade, weekday, from_minute),
    CONSTRAINT trade_period_of FOREIGN KEY (job, trade) REFERENCES trade(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT trade_period_forward CHECK (((from_minute)::smallint < (to_minute)::smallint)),
    CONSTRAINT trade_period_weekday CHECK (((weekday >= 0) AND (weekday <= 6)))
);
COMMENT ON TABLE trade_period IS 'The working periods of a trade''s own week';

CREATE TABLE trial (
    job short_name NOT NULL,
    number integer NOT NULL,
    title text NOT NULL,
    ops jsonb NOT NULL,
    version integer NOT NULL,
    made_at timestamp with time zone NOT NULL,
    made_by text NOT NULL,
    made_account uuid,
    changed_at timestamp with time zone NOT NULL,
    adopted bigint,
    thrown_at timestamp with time zone,
    CONSTRAINT trial_pkey PRIMARY KEY (job, number),
    CONSTRAINT trial_job_fkey FOREIGN KEY (job) REFERENCES job(id),
    CONSTRAINT trial_by_somebody CHECK ((made_by <> ''::text)),
    CONSTRAINT trial_counted CHECK (((number > 0) AND (version > 0))),
    CONSTRAINT trial_ends_once CHECK ((num_nonnulls(adopted, thrown_at) <= 1)),
    CONSTRAINT trial_ops_listed CHECK ((jsonb_typeof(ops) = 'array'::text)),
    CONSTRAINT trial_titled CHECK (((title <> ''::text) AND (length(title) <= 200)))
);
COMMENT ON TABLE trial IS 'A list of changes tried on a job. Its plan is made when somebody looks; nothing of it counts until it is adopted';
COMMENT ON COLUMN trial.number IS 'Counted within the job; that of a trial thrown away is not used again';
COMMENT ON COLUMN trial.ops IS 'The changes, in the order in which they are applied';
COMMENT ON COLUMN trial.version IS '1 when it is made, one more with each change of it';
COMMENT ON COLUMN trial.adopted IS 'The revision of the job in which its changes were made; null: they were not';
COMMENT ON COLUMN trial.thrown_at IS 'When it was thrown away';

CREATE TABLE typical (
    job short_name NOT NULL,
    id short_name NOT NULL,
    title text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT typical_pkey PRIMARY KEY (job, id),
    CONSTRAINT typical_job_fkey FOREIGN KEY (job) REFERENCES job(id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE typical IS 'A sequence written once and repeated at each of its places';

CREATE TABLE typical_place (
    job short_name NOT NULL,
    typical short_name NOT NULL,
    place short_name NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT typical_place_pkey PRIMARY KEY (job, typical, place),
    CONSTRAINT typical_place_known FOREIGN KEY (job, place) REFERENCES place(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT typical_place_of FOREIGN KEY (job, typical) REFERENCES typical(job, id) DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE typical_place IS 'The places at which a typical is repeated, in order';
CREATE INDEX typical_place_by_place ON public.typical_place USING btree (job, place);

CREATE TABLE wait (
    job short_name NOT NULL,
    name text NOT NULL,
    typical short_name,
    from_step step_ref NOT NULL,
    from_own boolean NOT NULL,
    from_name step_ref NOT NULL GENERATED ALWAYS AS (
CASE
    WHEN from_own THEN (((typical)::text || '.'::text) || (from_step)::text)
    ELSE (from_step)::text
END) STORED,
    from_end step_end NOT NULL,
    to_step step_ref NOT NULL,
    to_own boolean NOT NULL,
    to_name step_ref NOT NULL GENERATED ALWAYS AS (
CASE
    WHEN to_own THEN (((typical)::text || '.'::text) || (to_step)::text)
    ELSE (to_step)::text
END) STORED,
    to_end step_end NOT NULL,
    "least" span NOT NULL,
    most span,
    reason text NOT NULL,
    note text NOT NULL,
    source text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT wait_pkey PRIMARY KEY (job, name),
    CONSTRAINT wait_from_step FOREIGN KEY (job, from_name) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT wait_of_typical FOREIGN KEY (job, typical) REFERENCES typical(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT wait_to_step FOREIGN KEY (job, to_name) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT wait_named CHECK (starts_with(name, (((((((COALESCE(((typical)::text || ': '::text), ''::text) || (from_end)::text) || ' of '::text) || (from_step)::text) || ' to '::text) || (to_end)::text) || ' of '::text) || (to_step)::text))),
    CONSTRAINT wait_own_in_typical CHECK (((typical IS NOT NULL) OR (NOT (from_own OR to_own)))),
    CONSTRAINT wait_reason_known CHECK ((reason = ANY (ARRAY[''::text, 'cure'::text, 'buried'::text, 'access'::text, 'exposure'::text, 'sense'::text])))
);
COMMENT ON TABLE wait IS 'The ordering between two ends of two steps: at least so long, and at most so long where most is given';
COMMENT ON COLUMN wait.name IS 'Its two ends in words, with a number in brackets from the second of the same on';
COMMENT ON COLUMN wait.typical IS 'The typical it is written in';
COMMENT ON COLUMN wait.from_step IS 'As it is written';
COMMENT ON COLUMN wait.from_own IS 'It names a step of the typical itself';
COMMENT ON COLUMN wait.from_name IS 'What from_step means outside of the typical';
COMMENT ON COLUMN wait.source IS 'Where the figure comes from';
CREATE INDEX wait_by_from ON public.wait USING btree (job, from_name);
CREATE INDEX wait_by_to ON public.wait USING btree (job, to_name);
CREATE INDEX wait_by_typical ON public.wait USING btree (job, typical);

CREATE TABLE waiver (
    job short_name NOT NULL,
    name text NOT NULL,
    from_step step_ref NOT NULL,
    from_end step_end NOT NULL,
    to_step step_ref NOT NULL,
    to_end step_end NOT NULL,
    by short_name NOT NULL,
    on_day date NOT NULL,
    reason text NOT NULL,
    nr bigint NOT NULL,
    CONSTRAINT waiver_pkey PRIMARY KEY (job, name),
    CONSTRAINT waiver_by_person FOREIGN KEY (job, by) REFERENCES person(job, id) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT waiver_from_step FOREIGN KEY (job, from_step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT waiver_to_step FOREIGN KEY (job, to_step) REFERENCES step_name(job, name) DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT waiver_named CHECK (starts_with(name, (((((((from_end)::text || ' of '::text) || (from_step)::text) || ' to '::text) || (to_end)::text) || ' of '::text) || (to_step)::text))),
    CONSTRAINT waiver_reasoned CHECK ((reason <> ''::text))
);
COMMENT ON TABLE waiver IS 'A person''s word, with a reason, that a wait does not act';
CREATE INDEX waiver_by_from ON public.waiver USING btree (job, from_step);
CREATE INDEX waiver_by_to ON public.waiver USING btree (job, to_step);
