export { CAUSE_WORDS } from './causes.ts'
export { type EffortChange, effortChange } from './effort.ts'
export { type History, historyOf } from './history.ts'
export { acidMeqPerL, activeGPerL } from './product.ts'
export { type FeedTuning, feedTuning, reachMin, type TuningCase } from './tuning.ts'
export {
  busyStart,
  type TuningRun,
  type TuningSeries,
  type TuningStart,
  tuningRun,
} from './tuningRun.ts'
export type { TuningView } from './tuningView.ts'
export {
  type CoursePoint,
  type DrumView,
  type FeedDay,
  type FeedView,
  feedView,
  noFeedView,
  type RoleEffort,
} from './view.ts'
