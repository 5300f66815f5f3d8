-- What is paid in each load so that fewer bags are opened, per cent of its cost; null for loads planned before this was kept.

ALTER TABLE batch
  ADD COLUMN bags_cost_pct double precision,
  ADD CONSTRAINT batch_bags_cost_not_negative CHECK (bags_cost_pct >= 0);
