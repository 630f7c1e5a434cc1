// Stryker's door to the tests of chemistry: the whole package is evaluated anew under each mutant.
import { INSTRUMENTER_CONSTANTS } from '@stryker-mutator/api/core'
import { declareClassPlugin, PluginKind } from '@stryker-mutator/api/plugin'
import { DryRunStatus, determineHitLimitReached, MutantRunStatus, TestStatus } from '@stryker-mutator/api/test-runner'
import { bundleTests } from './suite.mjs'

/** @type {{ activeMutant?: string, currentTestId?: string, hitCount?: number, hitLimit?: number, mutantCoverage?: unknown }} */
const state = {}
Object.assign(globalThis, { [INSTRUMENTER_CONSTANTS.NAMESPACE]: state })

class ChemistryRunner {
  /** @type {Awaited<ReturnType<typeof bundleTests>> | undefined} */
  suite
  /** Tests that fail although nothing is changed: what to do about them is for `npm test` to say. @type {Set<string>} */
  broken = new Set()

  capabilities() {
    return { reloadEnvironment: true }
  }

  async init() {
    this.suite = await bundleTests(process.cwd())
  }

  async dryRun() {
    const loaded = await this.load(undefined, (file) => {
      state.currentTestId = loading(file)
    })
    const tests = (this.suite?.files ?? []).map((file) => passed(loading(file), file, 1))
    for (const test of loaded) {
      state.currentTestId = test.id
      const started = performance.now()
      const failure = await failureOf(test)
      state.currentTestId = undefined
      const timeSpentMs = performance.now() - started
      if (failure) {
        this.broken.add(test.id)
        console.warn(`Left out, because it fails unchanged: ${test.id}\n  ${failure.slice(0, 300)}`)
      } else {
        tests.push(passed(test.id, test.file, timeSpentMs))
      }
    }
    return { status: DryRunStatus.Complete, tests, mutantCoverage: state.mutantCoverage }
  }

  /** @param {import('@stryker-mutator/api/test-runner').MutantRunOptions} options */
  async mutantRun({ activeMutant, testFilter, hitLimit }) {
    const wanted = testFilter && new Set(testFilter)
    Object.assign(state, { activeMutant: activeMutant.id, hitCount: 0, hitLimit })
    const { ran, failed, failure } = await this.firstFailure(wanted)
    const timeout = determineHitLimitReached(state.hitCount, hitLimit)
    state.activeMutant = undefined
    if (timeout) return timeout
    if (!failed) return { status: MutantRunStatus.Survived, nrOfTests: ran }
    return { status: MutantRunStatus.Killed, killedBy: [failed], failureMessage: failure, nrOfTests: ran }
  }

  /** @param {Set<string> | undefined} wanted */
  async firstFailure(wanted) {
    let ran = 0
    try {
      const files = this.suite?.files.filter((file) => !wanted || [...wanted].some((id) => id.startsWith(`${file} `)))
      for (const test of await this.load(files)) {
        if (this.broken.has(test.id) || (wanted && !isWanted(test, wanted))) continue
        ran++
        const failure = await failureOf(test)
        if (failure) return { ran, failed: test.id, failure }
      }
      return { ran, failed: null, failure: '' }
    } catch (error) {
      return { ran, failed: 'cannot even be loaded', failure: String(error) }
    }
  }

  /** @param {string[]} [files] @param {(file: string) => void} [begun] */
  async load(files, begun) {
    if (!this.suite) throw new Error('The runner was asked before it was ready')
    return this.suite.load(files, begun)
  }
}

/** A file of tests that judges while it is loaded counts as one more test; when that may be moved, all of the file is run. */
const loading = (/** @type {string} */ file) => `${file} is loaded`

/** @param {import('./suite.mjs').Test} test @param {Set<string>} wanted */
const isWanted = ({ id, file }, wanted) => wanted.has(id) || wanted.has(loading(file))

/** @param {string} id @param {string} file @param {number} timeSpentMs */
const passed = (id, file, timeSpentMs) => ({
  id,
  name: id,
  fileName: `tests/chemistry/${file}`,
  timeSpentMs,
  status: TestStatus.Success,
})

/** @param {import('./suite.mjs').Test} test */
async function failureOf(test) {
  try {
    await test.run()
    return ''
  } catch (error) {
    return String(error) || 'failed without a word'
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.TestRunner, 'chemistry', ChemistryRunner)]
