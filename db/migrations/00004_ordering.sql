-- +goose Up
-- What must come before what, and what holds a place or gear from one step to another.

CREATE TABLE wait (
    job       short_name NOT NULL,
    name      text NOT NULL,
    typical   short_name,
    from_step step_ref NOT NULL,
    from_own  boolean NOT NULL,
    from_name step_ref NOT NULL GENERATED ALWAYS AS (CASE WHEN from_own THEN typical || '.' || from_step ELSE from_step END) STORED,
    from_end  step_end NOT NULL,
    to_step   step_ref NOT NULL,
    to_own    boolean NOT NULL,
    to_name   step_ref NOT NULL GENERATED ALWAYS AS (CASE WHEN to_own THEN typical || '.' || to_step ELSE to_step END) STORED,
    to_end    step_end NOT NULL,
    least     span NOT NULL,
    most      span,
    reason    text NOT NULL,
    note      text NOT NULL,
    source    text NOT NULL,
    nr        bigint NOT NULL,
    PRIMARY KEY (job, name),
    CONSTRAINT wait_of_typical FOREIGN KEY (job, typical) REFERENCES typical DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT wait_from_step FOREIGN KEY (job, from_name) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT wait_to_step FOREIGN KEY (job, to_name) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT wait_named CHECK (starts_with(name, coalesce(typical || ': ', '') || from_end || ' of ' || from_step || ' to ' || to_end || ' of ' || to_step)),
    CONSTRAINT wait_own_in_typical CHECK (typical IS NOT NULL OR NOT (from_own OR to_own)),
    CONSTRAINT wait_reason_known CHECK (reason IN ('', 'cure', 'buried', 'access', 'exposure', 'sense'))
);
COMMENT ON TABLE wait IS 'The ordering between two ends of two steps: at least so long, and at most so long where most is given';
COMMENT ON COLUMN wait.name IS 'Its two ends in words, with a number in brackets from the second of the same on';
COMMENT ON COLUMN wait.typical IS 'The typical it is written in';
COMMENT ON COLUMN wait.from_step IS 'As it is written';
COMMENT ON COLUMN wait.from_own IS 'It names a step of the typical itself';
COMMENT ON COLUMN wait.from_name IS 'What from_step means outside of the typical';
COMMENT ON COLUMN wait.source IS 'Where the figure comes from';

CREATE TABLE build_up (
    job     short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    id      short_name NOT NULL,
    title   text NOT NULL,
    outward text NOT NULL,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, id)
);
COMMENT ON TABLE build_up IS 'The layers of an assembly, in the order in which they are put there';
COMMENT ON COLUMN build_up.outward IS 'What the layers run from and to';

CREATE TABLE build_up_place (
    job      short_name NOT NULL,
    build_up short_name NOT NULL,
    place    short_name NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, build_up, place),
    CONSTRAINT build_up_place_of FOREIGN KEY (job, build_up) REFERENCES build_up DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT build_up_place_known FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE build_up_place IS 'Where a build-up is, in order';

CREATE TABLE layer (
    job       short_name NOT NULL,
    build_up  short_name NOT NULL,
    id        short_name NOT NULL,
    title     text NOT NULL,
    material  text NOT NULL,
    thickness integer NOT NULL,
    by_step   step_ref NOT NULL,
    cure      span NOT NULL,
    exposed   span,
    source    text NOT NULL,
    nr        bigint NOT NULL,
    PRIMARY KEY (job, build_up, id),
    CONSTRAINT layer_of FOREIGN KEY (job, build_up) REFERENCES build_up DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT layer_by_step FOREIGN KEY (job, by_step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT layer_thickness_counted CHECK (thickness >= 0)
);
COMMENT ON TABLE layer IS 'One layer of a build-up; nr orders the layers as they are put there';
COMMENT ON COLUMN layer.thickness IS 'mm; 0: not given';
COMMENT ON COLUMN layer.by_step IS 'The step that puts it there';
COMMENT ON COLUMN layer.cure IS 'The least time before it is covered';
COMMENT ON COLUMN layer.exposed IS 'The most time, from the start of its step to the finish of the next, that it may stay uncovered';
COMMENT ON COLUMN layer.source IS 'Where the limit or the cure comes from';

CREATE TABLE layer_seen (
    job      short_name NOT NULL,
    build_up short_name NOT NULL,
    layer    short_name NOT NULL,
    hold     step_ref NOT NULL,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, build_up, layer, hold),
    CONSTRAINT layer_seen_of FOREIGN KEY (job, build_up, layer) REFERENCES layer DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT layer_seen_hold FOREIGN KEY (job, hold) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE layer_seen IS 'The holds to be released before a layer is covered';

CREATE TABLE occupation (
    job       short_name NOT NULL,
    id        short_name NOT NULL,
    title     text NOT NULL,
    place     short_name,
    gear      short_name,
    from_step step_ref NOT NULL,
    to_step   step_ref NOT NULL,
    alone     boolean NOT NULL,
    nr        bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT occupation_of_place FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_of_gear FOREIGN KEY (job, gear) REFERENCES gear DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_from_step FOREIGN KEY (job, from_step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_to_step FOREIGN KEY (job, to_step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_of_one CHECK (num_nonnulls(place, gear) = 1)
);
COMMENT ON TABLE occupation IS 'A place or gear held from the start of one step to the finish of another';
COMMENT ON COLUMN occupation.alone IS 'The whole place is held, not one task''s room of it';

CREATE TABLE occupation_admits (
    job        short_name NOT NULL,
    occupation short_name NOT NULL,
    step       step_ref NOT NULL,
    nr         bigint NOT NULL,
    PRIMARY KEY (job, occupation, step),
    CONSTRAINT occupation_admits_of FOREIGN KEY (job, occupation) REFERENCES occupation DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT occupation_admits_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE occupation_admits IS 'Steps that may be in an occupied place all the same';

-- What is found by what it refers to, when that is taken away.
CREATE INDEX wait_by_from ON wait (job, from_name);
CREATE INDEX wait_by_to ON wait (job, to_name);
CREATE INDEX wait_by_typical ON wait (job, typical);
CREATE INDEX build_up_place_by_place ON build_up_place (job, place);
CREATE INDEX layer_by_laying_step ON layer (job, by_step);
CREATE INDEX layer_seen_by_hold ON layer_seen (job, hold);
CREATE INDEX occupation_by_from ON occupation (job, from_step);
CREATE INDEX occupation_by_to ON occupation (job, to_step);
CREATE INDEX occupation_admits_by_step ON occupation_admits (job, step);
