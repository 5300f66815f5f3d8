-- What is believed of a lot needs how far its book value varies between lots, and how far a laboratory errs.

ALTER TABLE ingredient_value
  ADD COLUMN sd_kind   text,
  ADD COLUMN sd_source text NOT NULL DEFAULT '',
  ADD CONSTRAINT ingredient_value_sd_kind_known CHECK (sd_kind IN ('lots', 'regions', 'memory', 'pooled')),
  ADD CONSTRAINT ingredient_value_sd_positive CHECK (sd > 0);

-- Published errors of analysis, for results between two levels: in percentage points or as per cent of the result.
CREATE TABLE assay_error (
  id               integer PRIMARY KEY,
  analyte          text NOT NULL,
  method           text NOT NULL,
  from_pct         double precision NOT NULL,
  to_pct           double precision NOT NULL,
  figure           text NOT NULL,
  sd_points        double precision,
  cv_pct           double precision,
  source           text NOT NULL,
  seen             text NOT NULL,
  CONSTRAINT assay_error_method_known CHECK (method IN ('chemical', 'near-infrared')),
  CONSTRAINT assay_error_figure_known CHECK (figure IN ('repeatability', 'reproducibility')),
  CONSTRAINT assay_error_one_figure CHECK (num_nonnulls(sd_points, cv_pct) = 1)
);

-- Lots of one supplier and ingredient, the newest first: the supplier's own record.
CREATE INDEX lot_by_supplier ON lot (supplier_id, ingredient_id, number);

GRANT SELECT, INSERT, UPDATE, DELETE ON assay_error TO kinu_app;
