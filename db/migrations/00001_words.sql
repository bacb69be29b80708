-- +goose Up
-- The kinds of values that the tables below are made of.

CREATE DOMAIN short_name AS text
    CONSTRAINT short_name_spelt CHECK (VALUE ~ '^[a-z0-9]+(-[a-z0-9]+)*$' AND length(VALUE) <= 60);
COMMENT ON DOMAIN short_name IS 'The short readable name of a thing within one job: lower-case letters, digits, hyphens';

CREATE DOMAIN step_ref AS text
    CONSTRAINT step_ref_spelt CHECK (VALUE ~ '^[a-z0-9]+(-[a-z0-9]+)*([.][a-z0-9]+(-[a-z0-9]+)*)?$');
COMMENT ON DOMAIN step_ref IS 'What a step may be called by: its short name, or two joined by a dot: order.stage, place.step, typical.step';

CREATE DOMAIN span AS text
    CONSTRAINT span_written CHECK (VALUE ~ '^(0|[1-9][0-9]{0,5}) (elapsed )?(minute|hour|day|week)s?$');
COMMENT ON DOMAIN span IS 'An amount of time with its unit as people write it: "3 days" is working time, "28 elapsed days" is real time';

CREATE DOMAIN minute_of_day AS smallint
    CONSTRAINT minute_of_day_on_the_clock CHECK (VALUE BETWEEN 0 AND 1440);
COMMENT ON DOMAIN minute_of_day IS 'A wall-clock time in the zone of the job, in minutes after midnight';

CREATE DOMAIN step_end AS text
    CONSTRAINT step_end_known CHECK (VALUE IN ('start', 'finish'));
COMMENT ON DOMAIN step_end IS 'One of the two ends of a step';

CREATE DOMAIN cautions AS text[]
    CONSTRAINT cautions_known CHECK (VALUE <@ ARRAY[
        'structure', 'height', 'lifting', 'excavation', 'temporary support', 'gas', 'electricity']);
COMMENT ON DOMAIN cautions IS 'What makes the release of a step the business of a licensed or authorised person';
