-- +goose Up
-- What has been agreed with trades: plans sent out, windows promised, their answers.

CREATE TABLE issue (
    job       short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    letter    text NOT NULL,
    on_day    date NOT NULL,
    as_of_day date NOT NULL,
    by        short_name NOT NULL,
    note      text NOT NULL,
    nr        bigint NOT NULL,
    PRIMARY KEY (job, letter),
    CONSTRAINT issue_lettered CHECK (letter ~ '^[A-Z]{1,4}$'),
    CONSTRAINT issue_by_person FOREIGN KEY (job, by) REFERENCES person DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE issue IS 'A plan that was sent out as the agreed one, with its revision letter';
COMMENT ON COLUMN issue.on_day IS 'The day it was sent out';
COMMENT ON COLUMN issue.as_of_day IS 'The day its plan was computed from';

CREATE TABLE issued_plan (
    job       short_name NOT NULL,
    letter    text NOT NULL,
    revision  bigint NOT NULL,
    as_of_day date NOT NULL,
    made_at   timestamptz NOT NULL,
    who       text NOT NULL,
    plan      jsonb NOT NULL,
    PRIMARY KEY (job, letter),
    CONSTRAINT issued_plan_of_issue FOREIGN KEY (job, letter) REFERENCES issue DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT issued_plan_by_somebody CHECK (who <> ''),
    CONSTRAINT issued_plan_once UNIQUE (job, revision)
);
COMMENT ON TABLE issued_plan IS 'The plans that were sent out, as they were. Nothing here is ever changed or taken away';
COMMENT ON COLUMN issued_plan.revision IS 'The revision of the job that the issue made';
COMMENT ON COLUMN issued_plan.who IS 'In whose name, as the history has it';

CREATE TABLE promise (
    job           short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    "window"      text NOT NULL,
    trade         short_name NOT NULL,
    place         short_name NOT NULL,
    from_day      date NOT NULL,
    until_day     date NOT NULL,
    letter        text,
    confirmed_day date,
    by            short_name,
    nr            bigint NOT NULL,
    PRIMARY KEY (job, "window"),
    CONSTRAINT promise_named CHECK (starts_with("window", trade || '.' || place || '.')),
    CONSTRAINT promise_forward CHECK (from_day <= until_day),
    CONSTRAINT promise_made CHECK (letter IS NOT NULL OR confirmed_day IS NOT NULL),
    CONSTRAINT promise_confirmed_by CHECK (num_nonnulls(confirmed_day, by) IN (0, 2)),
    CONSTRAINT promise_of_trade FOREIGN KEY (job, trade) REFERENCES trade DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_at_place FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_of_issue FOREIGN KEY (job, letter) REFERENCES issue DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT promise_by_party FOREIGN KEY (job, by) REFERENCES party DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE promise IS 'A window of access that was agreed with a trade: issued, confirmed, or both';
COMMENT ON COLUMN promise."window" IS 'Trade, place and first step, joined by dots';
COMMENT ON COLUMN promise.until_day IS 'The last day, included';
COMMENT ON COLUMN promise.letter IS 'The issue it stems from';
COMMENT ON COLUMN promise.confirmed_day IS 'When the trade said that it comes';
COMMENT ON COLUMN promise.by IS 'Who confirmed it: the trade, or a person who had its word';

CREATE TABLE promise_step (
    job     short_name NOT NULL,
    promise text NOT NULL,
    step    step_ref NOT NULL,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, promise, step),
    CONSTRAINT promise_step_of FOREIGN KEY (job, promise) REFERENCES promise DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE promise_step IS 'The steps of a promised window, as they were called then; a step may be gone since';

CREATE TABLE answer (
    job      short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    name     text NOT NULL,
    "window" text NOT NULL,
    trade    short_name NOT NULL,
    place    short_name NOT NULL,
    from_day date NOT NULL,
    to_day   date NOT NULL,
    on_day   date NOT NULL,
    by       short_name NOT NULL,
    note     text NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, name),
    CONSTRAINT answer_named CHECK (starts_with(name, "window" || ' from ')),
    CONSTRAINT answer_forward CHECK (from_day <= to_day),
    CONSTRAINT answer_of_trade FOREIGN KEY (job, trade) REFERENCES trade DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT answer_at_place FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT answer_by_party FOREIGN KEY (job, by) REFERENCES party DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE answer IS 'A trade''s word that it cannot come in a window on some days; the days off stand with the trade';
COMMENT ON COLUMN answer.name IS 'Its window and days, with a number in brackets from the second of the same on';
COMMENT ON COLUMN answer.to_day IS 'The last day, included';
COMMENT ON COLUMN answer.on_day IS 'When it said so';

CREATE TABLE answer_step (
    job    short_name NOT NULL,
    answer text NOT NULL,
    step   step_ref NOT NULL,
    nr     bigint NOT NULL,
    PRIMARY KEY (job, answer, step),
    CONSTRAINT answer_step_of FOREIGN KEY (job, answer) REFERENCES answer DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE answer_step IS 'The steps of the window that an answer is about, as they were called then';

CREATE TABLE shown_window (
    job       short_name NOT NULL REFERENCES job,
    trade     short_name NOT NULL,
    uid       text NOT NULL,
    steps     text[] NOT NULL,
    place     short_name NOT NULL,
    sequence  integer NOT NULL,
    changed_at timestamptz NOT NULL,
    from_at   timestamptz NOT NULL,
    until_at  timestamptz NOT NULL,
    summary   text NOT NULL,
    words     text NOT NULL,
    cancelled boolean NOT NULL,
    revision  bigint NOT NULL,
    PRIMARY KEY (job, uid),
    CONSTRAINT shown_window_counts CHECK (sequence >= 0)
);
COMMENT ON TABLE shown_window IS 'What the calendars of trades have been shown, so that an event keeps its name and counts up only when it has changed';
COMMENT ON COLUMN shown_window.uid IS 'The name of the event in calendars';
COMMENT ON COLUMN shown_window.sequence IS 'How often it has been shown differently';
COMMENT ON COLUMN shown_window.changed_at IS 'When it was first shown as it is now';
COMMENT ON COLUMN shown_window.cancelled IS 'The window was gone while it lay ahead';
COMMENT ON COLUMN shown_window.revision IS 'The revision of the job that it was shown of last';

-- What was sent out never changes, whoever writes.
-- +goose StatementBegin
CREATE FUNCTION sent_out_stands() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'what has been sent out never changes'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = TG_NAME, TABLE = TG_TABLE_NAME;
END $$;
-- +goose StatementEnd
COMMENT ON FUNCTION sent_out_stands IS 'Refuses every change of an issue and its plan';

CREATE TRIGGER issue_stands BEFORE UPDATE OR DELETE ON issue
    FOR EACH ROW EXECUTE FUNCTION sent_out_stands();
CREATE TRIGGER issued_plan_stands BEFORE UPDATE OR DELETE ON issued_plan
    FOR EACH ROW EXECUTE FUNCTION sent_out_stands();
CREATE TRIGGER issued_plan_stays BEFORE TRUNCATE ON issued_plan
    FOR EACH STATEMENT EXECUTE FUNCTION sent_out_stands();

-- What is found by what it refers to, when that is taken away.
CREATE INDEX issue_by_person ON issue (job, by);
CREATE INDEX promise_by_trade ON promise (job, trade);
CREATE INDEX promise_by_place ON promise (job, place);
CREATE INDEX promise_by_letter ON promise (job, letter);
CREATE INDEX answer_by_trade ON answer (job, trade);
CREATE INDEX answer_by_place ON answer (job, place);
CREATE INDEX shown_window_by_trade ON shown_window (job, trade);
