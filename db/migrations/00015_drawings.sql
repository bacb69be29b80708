-- +goose Up
-- What those who come to the site ask: by which drawing, and where to park, unload and plug in.

ALTER TABLE job
    ADD COLUMN access text NOT NULL DEFAULT '',
    ADD COLUMN parking text NOT NULL DEFAULT '',
    ADD COLUMN unloading text NOT NULL DEFAULT '',
    ADD COLUMN storage text NOT NULL DEFAULT '',
    ADD COLUMN lifting text NOT NULL DEFAULT '',
    ADD COLUMN power text NOT NULL DEFAULT '';
COMMENT ON COLUMN job.access IS 'How to get into the site, and who has the key';
COMMENT ON COLUMN job.storage IS 'Where what was brought may lie';
COMMENT ON COLUMN job.lifting IS 'What there is to lift with, and whom to ask for it';
COMMENT ON COLUMN job.power IS 'Where to plug in, and where water is';

CREATE TABLE drawing (
    job      short_name NOT NULL REFERENCES job DEFERRABLE INITIALLY DEFERRED,
    id       short_name NOT NULL,
    title    text NOT NULL,
    revision text NOT NULL,
    on_day   date,
    nr       bigint NOT NULL,
    PRIMARY KEY (job, id),
    CONSTRAINT drawing_sent_in_a_revision CHECK (on_day IS NULL OR revision <> '')
);
COMMENT ON TABLE drawing IS 'A sheet by which work is done';
COMMENT ON COLUMN drawing.revision IS 'The one that counts, as it stands on the sheet; empty: none was sent out yet';
COMMENT ON COLUMN drawing.on_day IS 'The day on which that one was sent out';

CREATE TABLE drawing_step (
    job     short_name NOT NULL,
    drawing short_name NOT NULL,
    step    step_ref NOT NULL,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, drawing, step),
    CONSTRAINT drawing_step_of FOREIGN KEY (job, drawing) REFERENCES drawing DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT drawing_step_step FOREIGN KEY (job, step) REFERENCES step_name DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE drawing_step IS 'The steps that a drawing shows';

CREATE TABLE drawing_place (
    job     short_name NOT NULL,
    drawing short_name NOT NULL,
    place   short_name NOT NULL,
    nr      bigint NOT NULL,
    PRIMARY KEY (job, drawing, place),
    CONSTRAINT drawing_place_of FOREIGN KEY (job, drawing) REFERENCES drawing DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT drawing_place_place FOREIGN KEY (job, place) REFERENCES place DEFERRABLE INITIALLY DEFERRED
);
COMMENT ON TABLE drawing_place IS 'The places of which a drawing shows all work, there and below';

CREATE INDEX drawing_step_by_step ON drawing_step (job, step);
CREATE INDEX drawing_place_by_place ON drawing_place (job, place);
