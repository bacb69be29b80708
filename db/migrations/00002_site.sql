-- +goose Up
-- A job and what is there on site: who, with what, where, when. In every table of
-- a job's content, nr is the place in the order of the job: it rises, with gaps.
-- Foreign keys are checked at the end of each transaction. What must refer to a step,
-- a party or a person of the job belongs to the job through it.

CREATE TABLE job (
    id         short_name PRIMARY KEY,
    revision   bigint NOT NULL DEFAULT 0,
    changed_at timestamptz NOT NULL DEFAULT '-infinity',
    title      text NOT NULL,
    zone       text NOT NULL,
    start_day  date NOT NULL,
    as_of_day  date,
    day_span   span NOT NULL,
    CONSTRAINT job_revision_counts CHECK (revision >= 0)
);
COMMENT ON TABLE job IS 'One building project';
COMMENT ON COLUMN job.revision IS 'How many changes the job has seen; each raises it by one';
COMMENT ON COLUMN job.changed_at IS 'When the newest of them was made';
COMMENT ON COLUMN job.zone IS 'IANA time zone of all its days and times';
COMMENT ON COLUMN job.start_day IS 'No work before this day';
COMMENT ON COLUMN job.as_of_day IS 'The day the plan is computed from, where a person fixed it';
COMMENT ON COLUMN job.day_span IS 'What "1 day" of work means; no length: the longest day of the week';

CREATE TABLE job_period (
    job         short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    weekday     smallint NOT NULL,
    from_minute minute_of_day NOT NULL,
    to_minute   minute_of_day NOT NULL,
    nr          bigint NOT NULL,
    PRIMARY KEY (job, weekday, from_minute),
    CONSTRAINT job_period_weekday CHECK (weekday BETWEEN 0 AND 6),
    CONSTRAINT job_period_forward CHECK (from_minute < to_minute)
);
COMMENT ON TABLE job_period IS 'The working periods of the site''s week';
COMMENT ON COLUMN job_period.weekday IS '0 is Sunday';

CREATE TABLE closure (
    job      short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    name     text NOT NULL,
    from_day date NOT NULL,
    to_day   date NOT NULL,
    why      text NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, name),
    CONSTRAINT closure_named CHECK (starts_with(name, to_char(from_day, 'YYYY-MM-DD') || ' to ' || to_char(to_day, 'YYYY-MM-DD'))),
    CONSTRAINT closure_forward CHECK (from_day <= to_day)
);
COMMENT ON TABLE closure IS 'Days, both ends included, on which nobody works on the job';
COMMENT ON COLUMN closure.name IS 'Its days, with a number in brackets from the second of the same on';

CREATE TABLE party (
    job short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    id  short_name NOT NULL,
    PRIMARY KEY (job, id)
);
COMMENT ON TABLE party IS 'Every name of a trade or a person, kept with each change, for whoever may be either';

CREATE TABLE trade (
    job      short_name NOT NULL,
    id       short_name NOT NULL,
    title    text NOT NULL,
    short    text NOT NULL,
    crews    integer NOT NULL,
    own_week boolean NOT NULL,
    notice   span NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT trade_is_party FOREIGN KEY (job, id) REFERENCES party DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT trade_crews_counted CHECK (crews >= 0)
);
COMMENT ON TABLE trade IS 'A firm or gang';
COMMENT ON COLUMN trade.short IS 'A few letters that stand for it on drawings';
COMMENT ON COLUMN trade.crews IS 'How many crews it can send at once';
COMMENT ON COLUMN trade.own_week IS 'It works by periods of its own, in trade_period, and not by the site''s';
COMMENT ON COLUMN trade.notice IS 'How long before a visit it must be told';

CREATE TABLE trade_period (
    job         short_name NOT NULL,
    trade       short_name NOT NULL,
    weekday     smallint NOT NULL,
    from_minute minute_of_day NOT NULL,
    to_minute   minute_of_day NOT NULL,
    nr          bigint NOT NULL,
    PRIMARY KEY (job, trade, weekday, from_minute),
    CONSTRAINT trade_period_of FOREIGN KEY (job, trade) REFERENCES trade DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT trade_period_weekday CHECK (weekday BETWEEN 0 AND 6),
    CONSTRAINT trade_period_forward CHECK (from_minute < to_minute)
);
COMMENT ON TABLE trade_period IS 'The working periods of a trade''s own week';

CREATE TABLE trade_off (
    job      short_name NOT NULL,
    trade    short_name NOT NULL,
    name     text NOT NULL,
    from_day date NOT NULL,
    to_day   date NOT NULL,
    why      text NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, trade, name),
    CONSTRAINT trade_off_of FOREIGN KEY (job, trade) REFERENCES trade DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT trade_off_forward CHECK (from_day <= to_day)
);
COMMENT ON TABLE trade_off IS 'Days, both ends included, on which a trade does not come';

CREATE TABLE person (
    job   short_name NOT NULL,
    id    short_name NOT NULL,
    name  text NOT NULL,
    role  text NOT NULL,
    trade short_name,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT person_is_party FOREIGN KEY (job, id) REFERENCES party DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT person_of_trade FOREIGN KEY (job, trade) REFERENCES trade DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT person_role_known CHECK (role IN
        ('owner', 'designer', 'site lead', 'trade', 'inspector', 'engineer', 'supplier', 'reader'))
);
COMMENT ON TABLE person IS 'Somebody who releases, decides, answers or is told';
COMMENT ON COLUMN person.trade IS 'The firm the person belongs to';

CREATE TABLE gear (
    job   short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    id    short_name NOT NULL,
    title text NOT NULL,
    count integer NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT gear_counted CHECK (count >= 0)
);
COMMENT ON TABLE gear IS 'Something shared and scarce that tasks hold while they run';
COMMENT ON COLUMN gear.count IS 'How many of it there are';

CREATE TABLE place (
    job      short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    id       short_name NOT NULL,
    title    text NOT NULL,
    within   short_name,
    room     integer NOT NULL,
    own_week boolean NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT place_within_place FOREIGN KEY (job, within) REFERENCES place DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT place_not_within_itself CHECK (within <> id),
    CONSTRAINT place_room_counted CHECK (room >= 0)
);
COMMENT ON TABLE place IS 'A part of the building, in a tree';
COMMENT ON COLUMN place.within IS 'The place around it';
COMMENT ON COLUMN place.room IS 'How many tasks at once here and below; 0: no limit';
COMMENT ON COLUMN place.own_week IS 'It is worked at by periods of its own, in place_period, and not by the site''s';

CREATE TABLE place_period (
    job         short_name NOT NULL,
    place       short_name NOT NULL,
    weekday     smallint NOT NULL,
    from_minute minute_of_day NOT NULL,
    to_minute   minute_of_day NOT NULL,
    nr          bigint NOT NULL,
    PRIMARY KEY (job, place, weekday, from_minute),
    CONSTRAINT place_period_of FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT place_period_weekday CHECK (weekday BETWEEN 0 AND 6),
    CONSTRAINT place_period_forward CHECK (from_minute < to_minute)
);
COMMENT ON TABLE place_period IS 'The working periods of a place''s own week';

CREATE TABLE place_closure (
    job      short_name NOT NULL,
    place    short_name NOT NULL,
    name     text NOT NULL,
    from_day date NOT NULL,
    to_day   date NOT NULL,
    why      text NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, place, name),
    CONSTRAINT place_closure_of FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT place_closure_forward CHECK (from_day <= to_day)
);
COMMENT ON TABLE place_closure IS 'Days, both ends included, on which nobody works at a place';
