-- How many samples of the hour hold sanitizer feed, pH feed, and both. A controller that takes turns leaves none with both for
-- days: the first one says that it no longer does. Null: not known, as for hours that were rolled up before these were there.
ALTER TABLE sample_hour
  ADD COLUMN sanitizer_samples smallint,
  ADD COLUMN ph_samples        smallint,
  ADD COLUMN both_samples      smallint;
