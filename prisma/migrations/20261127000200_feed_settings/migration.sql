-- How the controller is set for a feeder: longest on-time, wait after it, and the distance from the set point at which it feeds
-- all of the on-time, in mV (sanitizer) or pH (role ph). Null: nobody entered it.
ALTER TABLE feeder
  ADD COLUMN on_time_min double precision CHECK (on_time_min > 0 AND on_time_min <= 1440),
  ADD COLUMN wait_min    double precision CHECK (wait_min > 0 AND wait_min <= 1440),
  ADD COLUMN band        double precision CHECK (band > 0 AND band <= 500);
