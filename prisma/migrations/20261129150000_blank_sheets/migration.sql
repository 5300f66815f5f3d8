-- Numbered blank sheets, printed ahead for power cuts: each is entered once, or spoiled with a reason, and none is ever without a state.

CREATE TABLE blank_sheet (
  id             uuid PRIMARY KEY,
  -- One row of numbers for all kinds, so that a number alone names one sheet, whatever letter is read before it.
  number         integer GENERATED ALWAYS AS IDENTITY CONSTRAINT blank_sheet_number_unique UNIQUE,
  kind           text NOT NULL,
  bundle_id      uuid NOT NULL,
  printed_at     timestamptz(3) NOT NULL,
  printed_by     uuid NOT NULL CONSTRAINT blank_sheet_printed_by_fk REFERENCES app_user (id),
  happened_at    timestamptz(3),
  entered_at     timestamptz(3),
  entered_by     uuid CONSTRAINT blank_sheet_entered_by_fk REFERENCES app_user (id),
  lot_id         uuid CONSTRAINT blank_sheet_lot_once UNIQUE CONSTRAINT blank_sheet_lot_fk REFERENCES lot (id),
  batch_id       uuid CONSTRAINT blank_sheet_batch_once UNIQUE CONSTRAINT blank_sheet_batch_fk REFERENCES batch (id),
  order_id       uuid CONSTRAINT blank_sheet_order_once UNIQUE CONSTRAINT blank_sheet_order_fk REFERENCES "order" (id),
  spoiled_at     timestamptz(3),
  spoiled_by     uuid CONSTRAINT blank_sheet_spoiled_by_fk REFERENCES app_user (id),
  spoiled_reason text,
  CONSTRAINT blank_sheet_kind_known CHECK (kind IN ('receiving', 'weighing', 'collection')),
  CONSTRAINT blank_sheet_entered_whole CHECK ((entered_at IS NULL) = (entered_by IS NULL) AND (entered_at IS NULL) = (happened_at IS NULL)),
  CONSTRAINT blank_sheet_entered_as_its_kind CHECK (
    (lot_id IS NOT NULL) = (entered_at IS NOT NULL AND kind = 'receiving')
    AND (batch_id IS NOT NULL) = (entered_at IS NOT NULL AND kind = 'weighing')
    AND (order_id IS NOT NULL) = (entered_at IS NOT NULL AND kind = 'collection')),
  CONSTRAINT blank_sheet_spoiled_whole CHECK ((spoiled_at IS NULL) = (spoiled_by IS NULL) AND (spoiled_at IS NULL) = (spoiled_reason IS NULL)),
  CONSTRAINT blank_sheet_spoiled_told CHECK (spoiled_reason <> ''),
  CONSTRAINT blank_sheet_entered_or_spoiled CHECK (entered_at IS NULL OR spoiled_at IS NULL)
);
CREATE INDEX blank_sheet_by_bundle ON blank_sheet (bundle_id, number);
-- What was printed and never came back is asked for with every morning page.
CREATE INDEX blank_sheet_open ON blank_sheet (printed_at) WHERE entered_at IS NULL AND spoiled_at IS NULL;

-- What was printed stays as it was printed; only what became of the sheet is added.
REVOKE ALL ON blank_sheet FROM kinu_app;
GRANT SELECT, INSERT ON blank_sheet TO kinu_app;
GRANT UPDATE (happened_at, entered_at, entered_by, lot_id, batch_id, order_id, spoiled_at, spoiled_by, spoiled_reason) ON blank_sheet TO kinu_app;
GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO kinu_app;
