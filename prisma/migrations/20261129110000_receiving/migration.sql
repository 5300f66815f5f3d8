-- Receiving in full: what the scale and the delivery note said, the terms of payment, the look-and-smell check, photos.

-- price_per_kg stays what a kilogram as delivered costs; with an agreed moisture the terms name another price for other kilograms.
-- expiry_rule says why that day: label, keeper, wet-grain, mill, or the row of the reference; lots of before do not know.
ALTER TABLE lot
  ADD COLUMN gross_kg            numeric(14,3),
  ADD COLUMN tare_kg             numeric(14,3),
  ADD COLUMN empty_bag_g         integer,
  ADD COLUMN note_kg             numeric(14,3),
  ADD COLUMN agreed_moisture_pct double precision,
  ADD COLUMN agreed_price_per_kg numeric(12,4),
  ADD COLUMN expiry_rule         text NOT NULL DEFAULT '',
  ADD COLUMN looks               jsonb NOT NULL DEFAULT '[]',
  ADD CONSTRAINT lot_weighing_whole CHECK ((gross_kg IS NULL) = (tare_kg IS NULL) AND (empty_bag_g IS NULL OR gross_kg IS NOT NULL)),
  ADD CONSTRAINT lot_net_as_weighed CHECK (gross_kg IS NULL
    OR (tare_kg >= 0 AND net_kg = gross_kg - tare_kg - coalesce(empty_bag_g, 0) * coalesce(bags, 0) / 1000.0)),
  ADD CONSTRAINT lot_empty_bag_range CHECK (empty_bag_g BETWEEN 1 AND 3000),
  ADD CONSTRAINT lot_note_kg_positive CHECK (note_kg > 0),
  ADD CONSTRAINT lot_agreed_whole CHECK ((agreed_moisture_pct IS NULL) = (agreed_price_per_kg IS NULL)
    AND (agreed_moisture_pct IS NULL OR intake_moisture_pct IS NOT NULL)),
  ADD CONSTRAINT lot_agreed_range CHECK (agreed_moisture_pct > 0 AND agreed_moisture_pct < 100 AND agreed_price_per_kg >= 0),
  ADD CONSTRAINT lot_looks_list CHECK (jsonb_typeof(looks) = 'array');

-- Bytes stand apart from the lot, so that no list ever reads them. A photo is evidence: added to, never edited.
CREATE TABLE lot_photo (
  id       uuid PRIMARY KEY,
  lot_id   uuid NOT NULL CONSTRAINT lot_photo_lot_fk REFERENCES lot (id),
  shows    text,
  taken_at timestamptz(3) NOT NULL,
  added_at timestamptz(3) NOT NULL,
  added_by uuid NOT NULL CONSTRAINT lot_photo_added_by_fk REFERENCES app_user (id),
  size     integer NOT NULL,
  jpeg     bytea NOT NULL,
  -- FF D8 FF opens every JPEG file (ISO/IEC 10918-1, start of image and a marker).
  CONSTRAINT lot_photo_is_jpeg CHECK (substring(jpeg FROM 1 FOR 3) = '\xffd8ff'::bytea),
  CONSTRAINT lot_photo_size CHECK (size = octet_length(jpeg) AND size <= 300000)
);
CREATE INDEX lot_photo_by_lot ON lot_photo (lot_id, added_at);
CREATE TRIGGER lot_photo_kept BEFORE UPDATE OR DELETE OR TRUNCATE ON lot_photo FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_history();

GRANT SELECT, INSERT ON lot_photo TO kinu_app;
