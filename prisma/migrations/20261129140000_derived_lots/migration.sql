-- Lots that were made from others: ground, dried, or heaped in one bin. Each knows its parents with their kilograms, so that a trace never breaks.

ALTER TABLE stock_transfer DROP CONSTRAINT stock_transfer_kind_known;
ALTER TABLE stock_transfer ADD CONSTRAINT stock_transfer_kind_known CHECK (kind IN (
  'receipt', 'reservation', 'release', 'issue', 'making', 'delivery', 'return', 'count', 'write-off', 'reversal', 'grinding', 'drying', 'bin'));

-- made_by: how the lot was made; null: it was delivered. Only a made lot has the mill itself as its supplier, a row of its own with this id.
ALTER TABLE lot
  ADD COLUMN made_by text,
  ADD CONSTRAINT lot_made_by_known CHECK (made_by IN ('grinding', 'drying', 'bin')),
  ADD CONSTRAINT lot_made_by_the_mill CHECK ((made_by IS NULL) = (supplier_id <> '00000000-0000-4000-8000-000000000001'));

CREATE TABLE lot_parent (
  lot_id    uuid NOT NULL CONSTRAINT lot_parent_lot_fk REFERENCES lot (id),
  parent_id uuid NOT NULL CONSTRAINT lot_parent_parent_fk REFERENCES lot (id),
  kg        numeric(14,3) NOT NULL,
  CONSTRAINT lot_parent_pk PRIMARY KEY (lot_id, parent_id),
  CONSTRAINT lot_parent_is_another CHECK (lot_id <> parent_id),
  CONSTRAINT lot_parent_kg_positive CHECK (kg > 0)
);
CREATE INDEX lot_parent_by_parent ON lot_parent (parent_id);
CREATE TRIGGER lot_parent_kept BEFORE UPDATE OR DELETE OR TRUNCATE ON lot_parent FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_history();

-- loss_kg below zero: more came out than went in, as the scale said. expected_kg: what the dry matter leaves, or what went in.
CREATE TABLE lot_making (
  lot_id              uuid PRIMARY KEY CONSTRAINT lot_making_lot_fk REFERENCES lot (id),
  transfer_id         uuid NOT NULL CONSTRAINT lot_making_transfer_unique UNIQUE CONSTRAINT lot_making_transfer_fk REFERENCES stock_transfer (id),
  taken_kg            numeric(14,3) NOT NULL,
  got_kg              numeric(14,3) NOT NULL,
  loss_kg             numeric(14,3) NOT NULL,
  loss_kind           text,
  expected_kg         numeric(14,3) NOT NULL,
  moisture_before_pct double precision,
  moisture_after_pct  double precision,
  note                text NOT NULL DEFAULT '',
  CONSTRAINT lot_making_adds_up CHECK (taken_kg > 0 AND got_kg > 0 AND loss_kg = taken_kg - got_kg),
  CONSTRAINT lot_making_loss_kind_known CHECK (loss_kind IN ('dust', 'moisture', 'not-explained')),
  CONSTRAINT lot_making_loss_has_kind CHECK ((loss_kg = 0) = (loss_kind IS NULL)),
  CONSTRAINT lot_making_moisture_range CHECK (moisture_before_pct BETWEEN 0 AND 60 AND moisture_after_pct BETWEEN 0 AND 60)
);
CREATE TRIGGER lot_making_kept BEFORE UPDATE OR DELETE OR TRUNCATE ON lot_making FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_history();

GRANT SELECT, INSERT ON lot_parent, lot_making TO kinu_app;
