-- +goose Up
-- Days that must be kept, what has happened, and what people have said about it.

CREATE TABLE due (
    job    short_name NOT NULL,
    id     short_name NOT NULL,
    title  text NOT NULL,
    step   step_ref NOT NULL,
    on_day date NOT NULL,
    nr     bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT due_of_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE due IS 'A day by whose end a step must finish';

CREATE TABLE fact (
    job             short_name NOT NULL,
    step            step_ref NOT NULL,
    started_day     date,
    started_minute  minute_of_day,
    done_day        date,
    done_minute     minute_of_day,
    booked_day      date,
    booked_minute   minute_of_day,
    expected_day    date,
    expected_minute minute_of_day,
    released_day    date,
    released_minute minute_of_day,
    refused_day     date,
    refused_minute  minute_of_day,
    remaining       span,
    measured        integer,
    by              short_name,
    note            text NOT NULL,
    evidence        text NOT NULL,
    nr              bigint NOT NULL,
    PRIMARY KEY (job, step),
    CONSTRAINT fact_of_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT fact_by_party FOREIGN KEY (job, by) REFERENCES party DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT fact_started_day CHECK (started_minute IS NULL OR started_day IS NOT NULL),
    CONSTRAINT fact_done_day CHECK (done_minute IS NULL OR done_day IS NOT NULL),
    CONSTRAINT fact_booked_day CHECK (booked_minute IS NULL OR booked_day IS NOT NULL),
    CONSTRAINT fact_expected_day CHECK (expected_minute IS NULL OR expected_day IS NOT NULL),
    CONSTRAINT fact_released_day CHECK (released_minute IS NULL OR released_day IS NOT NULL),
    CONSTRAINT fact_refused_day CHECK (refused_minute IS NULL OR refused_day IS NOT NULL)
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

CREATE TABLE waiver (
    job       short_name NOT NULL,
    name      text NOT NULL,
    from_step step_ref NOT NULL,
    from_end  step_end NOT NULL,
    to_step   step_ref NOT NULL,
    to_end    step_end NOT NULL,
    by        short_name NOT NULL,
    on_day    date NOT NULL,
    reason    text NOT NULL,
    nr        bigint NOT NULL,
    PRIMARY KEY (job, name),
    CONSTRAINT waiver_from_step FOREIGN KEY (job, from_step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT waiver_to_step FOREIGN KEY (job, to_step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT waiver_by_person FOREIGN KEY (job, by) REFERENCES person DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT waiver_named CHECK (starts_with(name, from_end || ' of ' || from_step || ' to ' || to_end || ' of ' || to_step)),
    CONSTRAINT waiver_reasoned CHECK (reason <> '')
);
COMMENT ON TABLE waiver IS 'A person''s word, with a reason, that a wait does not act';

CREATE TABLE pin (
    job            short_name NOT NULL,
    name           text NOT NULL,
    step           step_ref NOT NULL,
    on_day         date,
    not_before_day date,
    by             short_name,
    reason         text NOT NULL,
    nr             bigint NOT NULL,
    PRIMARY KEY (job, name),
    CONSTRAINT pin_of_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT pin_by_person FOREIGN KEY (job, by) REFERENCES person DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT pin_named CHECK (starts_with(name, step)),
    CONSTRAINT pin_one_day CHECK (num_nonnulls(on_day, not_before_day) = 1)
);
COMMENT ON TABLE pin IS 'A person''s word about when a step starts: on a day, or not before one';

CREATE TABLE aside (
    job    short_name NOT NULL,
    name   text NOT NULL,
    alert  text NOT NULL,
    by     short_name NOT NULL,
    on_day date NOT NULL,
    reason text NOT NULL,
    nr     bigint NOT NULL,
    PRIMARY KEY (job, name),
    CONSTRAINT aside_by_person FOREIGN KEY (job, by) REFERENCES person DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT aside_named CHECK (starts_with(name, left(alert, 200))),
    CONSTRAINT aside_reasoned CHECK (reason <> '')
);
COMMENT ON TABLE aside IS 'An alert put out of sight, with a person''s reason';
COMMENT ON COLUMN aside.name IS 'The alert, cut short where it is long';
COMMENT ON COLUMN aside.alert IS 'The key that the alert keeps from plan to plan';

-- What is found by what it refers to, when that is taken away.
CREATE INDEX due_by_step ON due (job, step);
CREATE INDEX waiver_by_from ON waiver (job, from_step);
CREATE INDEX waiver_by_to ON waiver (job, to_step);
CREATE INDEX pin_by_step ON pin (job, step);
CREATE INDEX person_by_trade ON person (job, trade);
CREATE INDEX place_by_within ON place (job, within);
