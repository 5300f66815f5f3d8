-- Tests that answer yes or no, releases for some feeds only, re-test dates and holds until a day, and the tests that a mill itself asks for.

-- What a strip said stays what it said: "none found" is below its detection limit and "found" at least that limit, never zero and one.
ALTER TABLE assay
  ADD COLUMN reading    text NOT NULL DEFAULT 'figure',
  ADD COLUMN quick_test text,
  ADD CONSTRAINT assay_reading_known CHECK (reading IN ('figure', 'none-found', 'found')),
  ADD CONSTRAINT assay_yes_or_no_has_limit CHECK (reading = 'figure' OR (value > 0 AND below_detection = (reading = 'none-found')));

-- released_for: stages whose feed the lot may enter; empty: every feed. retest_on: the last day of use without a new result.
-- hold_until: the first day on which somebody may release it (fumigation).
ALTER TABLE lot
  ADD COLUMN released_for text[] NOT NULL DEFAULT '{}',
  ADD COLUMN retest_on    date,
  ADD COLUMN hold_until   date;

CREATE TABLE required_test (
  id             uuid PRIMARY KEY,
  ingredient_id  text NOT NULL CONSTRAINT required_test_ingredient_fk REFERENCES ingredient (id),
  hazard         text NOT NULL,
  reason         text NOT NULL,
  added_at       timestamptz(3) NOT NULL,
  added_by       uuid NOT NULL CONSTRAINT required_test_added_by_fk REFERENCES app_user (id),
  removed_at     timestamptz(3),
  removed_by     uuid CONSTRAINT required_test_removed_by_fk REFERENCES app_user (id),
  removed_reason text,
  revision       integer NOT NULL DEFAULT 1,
  CONSTRAINT required_test_hazard_known CHECK (hazard IN ('moisture', 'protein', 'aflatoxin', 'urea', 'sand', 'salt')),
  CONSTRAINT required_test_reason_told CHECK (reason <> '' AND (removed_at IS NULL OR removed_reason <> '')),
  CONSTRAINT required_test_removed_whole CHECK ((removed_at IS NULL) = (removed_by IS NULL))
);
CREATE UNIQUE INDEX required_test_once ON required_test (ingredient_id, hazard) WHERE removed_at IS NULL;

GRANT SELECT, INSERT, UPDATE ON required_test TO kinu_app;
