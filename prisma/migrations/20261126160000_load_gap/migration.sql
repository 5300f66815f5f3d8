-- How near each load is to the cheapest weighable one, and whether its search ended; null for loads planned before this was kept.

ALTER TABLE batch
  ADD COLUMN gap_pct double precision,
  ADD COLUMN proven  boolean,
  ADD CONSTRAINT batch_gap_not_negative CHECK (gap_pct >= 0),
  ADD CONSTRAINT batch_gap_whole CHECK ((gap_pct IS NULL) = (proven IS NULL));
