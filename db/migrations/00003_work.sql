-- +goose Up
-- What is to be done: tasks and hold points, by themselves or repeated by a typical,
-- and orders with their stages.

CREATE TABLE step_name (
    job  short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    name step_ref NOT NULL,
    PRIMARY KEY (job, name)
);
COMMENT ON TABLE step_name IS 'Every name that a step may be called by, kept with each change: tasks, holds, order.stage, typical.step (every instance) and place.step (one instance). Whatever names a step refers to it';

CREATE TABLE typical (
    job   short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    id    short_name NOT NULL,
    title text NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, id)
);
COMMENT ON TABLE typical IS 'A sequence written once and repeated at each of its places';

CREATE TABLE typical_place (
    job     short_name NOT NULL,
    typical short_name NOT NULL,
    place   short_name NOT NULL,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, typical, place),
    CONSTRAINT typical_place_of FOREIGN KEY (job, typical) REFERENCES typical DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT typical_place_known FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE typical_place IS 'The places at which a typical is repeated, in order';

CREATE TABLE task (
    job             short_name NOT NULL,
    step            step_ref NOT NULL,
    typical         short_name,
    title           text NOT NULL,
    crews           integer NOT NULL,
    takes           span NOT NULL,
    alone           boolean NOT NULL,
    dry             boolean,
    wind_below      integer,
    min_temperature integer,
    cautions        cautions NOT NULL,
    note            text NOT NULL,
    nr              bigint NOT NULL,
    PRIMARY KEY (job, step),
    CONSTRAINT task_is_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_of_typical FOREIGN KEY (job, typical) REFERENCES typical DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_named CHECK (CASE WHEN typical IS NULL THEN position('.' IN step) = 0 ELSE starts_with(step, typical || '.') END),
    CONSTRAINT task_crews_counted CHECK (crews >= 0),
    CONSTRAINT task_weather_whole CHECK (dry IS NOT NULL OR (wind_below IS NULL AND min_temperature IS NULL))
);
COMMENT ON TABLE task IS 'Work by one or more trades in one place or several';
COMMENT ON COLUMN task.step IS 'Its name; of one that a typical repeats, typical.name';
COMMENT ON COLUMN task.typical IS 'The typical it belongs to';
COMMENT ON COLUMN task.crews IS 'Crews of each of its trades';
COMMENT ON COLUMN task.alone IS 'Nobody else may be in its places meanwhile';
COMMENT ON COLUMN task.dry IS 'It needs dry weather; null: it needs nothing of the sky';
COMMENT ON COLUMN task.wind_below IS 'm/s, daily mean';
COMMENT ON COLUMN task.min_temperature IS 'degrees Celsius';

CREATE TABLE task_trade (
    job   short_name NOT NULL,
    step  step_ref NOT NULL,
    trade short_name NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, step, trade),
    CONSTRAINT task_trade_of FOREIGN KEY (job, step) REFERENCES task DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_trade_known FOREIGN KEY (job, trade) REFERENCES trade DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE task_trade IS 'The trades of a task, in order';

CREATE TABLE task_place (
    job   short_name NOT NULL,
    step  step_ref NOT NULL,
    place short_name NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, step, place),
    CONSTRAINT task_place_of FOREIGN KEY (job, step) REFERENCES task DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_place_known FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE task_place IS 'The places of a task, in order';

CREATE TABLE task_gear (
    job   short_name NOT NULL,
    step  step_ref NOT NULL,
    gear  short_name NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, step, gear),
    CONSTRAINT task_gear_of FOREIGN KEY (job, step) REFERENCES task DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT task_gear_known FOREIGN KEY (job, gear) REFERENCES gear DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE task_gear IS 'The gear of a task, in order';

CREATE TABLE hold (
    job             short_name NOT NULL,
    step            step_ref NOT NULL,
    typical         short_name,
    title           text NOT NULL,
    kind            text NOT NULL,
    witness         boolean NOT NULL,
    by              short_name NOT NULL,
    notice          span NOT NULL,
    nominal         integer,
    tolerance       integer NOT NULL,
    crews           integer NOT NULL,
    takes           span NOT NULL,
    alone           boolean NOT NULL,
    dry             boolean,
    wind_below      integer,
    min_temperature integer,
    cautions        cautions NOT NULL,
    note            text NOT NULL,
    nr              bigint NOT NULL,
    PRIMARY KEY (job, step),
    CONSTRAINT hold_is_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_of_typical FOREIGN KEY (job, typical) REFERENCES typical DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_by_person FOREIGN KEY (job, by) REFERENCES person DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_named CHECK (CASE WHEN typical IS NULL THEN position('.' IN step) = 0 ELSE starts_with(step, typical || '.') END),
    CONSTRAINT hold_kind_known CHECK (kind IN
        ('delivery', 'inspection', 'test', 'decision', 'measure', 'approval', 'mock-up')),
    CONSTRAINT hold_measure_only CHECK (kind = 'measure' OR (nominal IS NULL AND tolerance = 0)),
    CONSTRAINT hold_tolerance_counted CHECK (tolerance >= 0),
    CONSTRAINT hold_crews_counted CHECK (crews >= 0),
    CONSTRAINT hold_weather_whole CHECK (dry IS NOT NULL OR (wind_below IS NULL AND min_temperature IS NULL))
);
COMMENT ON TABLE hold IS 'A gate: what depends on it does not start until a named person releases it';
COMMENT ON COLUMN hold.step IS 'Its name; of one that a typical repeats, typical.name';
COMMENT ON COLUMN hold.witness IS 'It stands open once its notice has passed and nobody came';
COMMENT ON COLUMN hold.by IS 'Who releases it';
COMMENT ON COLUMN hold.notice IS 'How long before the visit that person must be told';
COMMENT ON COLUMN hold.nominal IS 'mm, what a measure should be';
COMMENT ON COLUMN hold.tolerance IS 'mm, how far off it may be';

CREATE TABLE hold_trade (
    job   short_name NOT NULL,
    step  step_ref NOT NULL,
    trade short_name NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, step, trade),
    CONSTRAINT hold_trade_of FOREIGN KEY (job, step) REFERENCES hold DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_trade_known FOREIGN KEY (job, trade) REFERENCES trade DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE hold_trade IS 'The trades of a hold, in order';

CREATE TABLE hold_place (
    job   short_name NOT NULL,
    step  step_ref NOT NULL,
    place short_name NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, step, place),
    CONSTRAINT hold_place_of FOREIGN KEY (job, step) REFERENCES hold DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_place_known FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE hold_place IS 'The places of a hold, in order';

CREATE TABLE hold_gear (
    job   short_name NOT NULL,
    step  step_ref NOT NULL,
    gear  short_name NOT NULL,
    nr    bigint NOT NULL,
    PRIMARY KEY (job, step, gear),
    CONSTRAINT hold_gear_of FOREIGN KEY (job, step) REFERENCES hold DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT hold_gear_known FOREIGN KEY (job, gear) REFERENCES gear DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE hold_gear IS 'The gear of a hold, in order';

CREATE TABLE "order" (
    job      short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    id       short_name NOT NULL,
    title    text NOT NULL,
    supplier short_name,
    receives short_name,
    unload   span NOT NULL,
    keep     span NOT NULL,
    stand_in text NOT NULL,
    cautions cautions NOT NULL,
    note     text NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT order_from_party FOREIGN KEY (job, supplier) REFERENCES party DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT order_received_by_party FOREIGN KEY (job, receives) REFERENCES party DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE "order" IS 'A long-lead item: stages one after the other, ending in a delivery';
COMMENT ON COLUMN "order".supplier IS 'A trade or a person';
COMMENT ON COLUMN "order".receives IS 'The trade or person who receives and unloads it';
COMMENT ON COLUMN "order".keep IS 'How long it may sit before it is used; no length: 10 days';
COMMENT ON COLUMN "order".stand_in IS 'What stands in for it if it is late';

CREATE TABLE order_place (
    job     short_name NOT NULL,
    "order" short_name NOT NULL,
    place   short_name NOT NULL,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, "order", place),
    CONSTRAINT order_place_of FOREIGN KEY (job, "order") REFERENCES "order" DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT order_place_known FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE order_place IS 'Where an order is brought, in order';

CREATE TABLE order_gear (
    job     short_name NOT NULL,
    "order" short_name NOT NULL,
    gear    short_name NOT NULL,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, "order", gear),
    CONSTRAINT order_gear_of FOREIGN KEY (job, "order") REFERENCES "order" DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT order_gear_known FOREIGN KEY (job, gear) REFERENCES gear DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE order_gear IS 'What is held while an order is unloaded, in order';

CREATE TABLE stage (
    job     short_name NOT NULL,
    "order" short_name NOT NULL,
    id      short_name NOT NULL,
    step    step_ref NOT NULL GENERATED ALWAYS AS ("order" || '.' || id) STORED,
    title   text NOT NULL,
    takes   span NOT NULL,
    by      short_name,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, "order", id),
    CONSTRAINT stage_of_order FOREIGN KEY (job, "order") REFERENCES "order" DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT stage_is_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT stage_by_party FOREIGN KEY (job, by) REFERENCES party DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT stage_not_delivery CHECK (id <> 'delivery')
);
COMMENT ON TABLE stage IS 'One leg of an order: shop drawing, approval, making, carriage';
COMMENT ON COLUMN stage.by IS 'The trade or person whose turn it is';

-- What is found by what it refers to, when that is taken away.
CREATE INDEX task_trade_by_trade ON task_trade (job, trade);
CREATE INDEX task_place_by_place ON task_place (job, place);
CREATE INDEX task_gear_by_gear ON task_gear (job, gear);
CREATE INDEX task_by_typical ON task (job, typical);
CREATE INDEX hold_trade_by_trade ON hold_trade (job, trade);
CREATE INDEX hold_place_by_place ON hold_place (job, place);
CREATE INDEX hold_gear_by_gear ON hold_gear (job, gear);
CREATE INDEX hold_by_typical ON hold (job, typical);
CREATE INDEX hold_by_person ON hold (job, by);
CREATE INDEX typical_place_by_place ON typical_place (job, place);
CREATE INDEX stage_by_step ON stage (job, step);
