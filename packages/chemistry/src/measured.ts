export interface Measured {
  value: number
  atMs: number
}

export interface Spread {
  min: number
  mean: number
  max: number
}

/** One hour of samples, from the `sample_hour` roll-up. Null: no such channel, or no value in that hour. */
export interface HourRecord {
  hourMs: number
  samples: number
  /** Minutes of the hour that samples cover: each speaks until the next, at most for 15 minutes; so does the newest. */
  coveredMin: number
  ph: Spread | null
  orpMv: Spread | null
  freeChlorineMgL: Spread | null
  tempC: Spread | null
  flowLMin: Spread | null
  phSetPoint: number | null
  orpSetPointMv: number | null
  /** Minutes of feed, i.e. per cent on × covered minutes. */
  sanitizerFeedMin: number | null
  backupFeedMin: number | null
  phFeedMin: number | null
  /** Minutes in which the flow switch showed no flow. */
  noFlowMin: number | null
  /** Minutes in which any feeder ran while the flow switch showed no flow. */
  feedWithoutFlowMin: number | null
  /** Minutes in which the pH feed must have run together with the primary or the backup sanitizer feed: their shares of
   * the time add up to more than the whole. */
  bothFeedsMin: number | null
  /** Samples that hold sanitizer feed, pH feed, and both; null or absent: not known. */
  sanitizerSamples?: number | null
  phSamples?: number | null
  bothSamples?: number | null
}
