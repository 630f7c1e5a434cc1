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

  capabilities() {
    return { reloadEnvironment: true }
  }

  async init() {
    this.suite = await bundleTests(process.cwd())
  }

  async dryRun() {
    const tests = []
    for (const test of await this.load()) {
      state.currentTestId = test.id
      const started = performance.now()
      const failure = await failureOf(test)
      state.currentTestId = undefined
      const told = { id: test.id, name: test.id, fileName: `tests/chemistry/${test.file}` }
      const timeSpentMs = performance.now() - started
      tests.push(
        failure
          ? { ...told, timeSpentMs, status: TestStatus.Failed, failureMessage: failure }
          : { ...told, timeSpentMs, status: TestStatus.Success },
      )
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
        if (wanted && !wanted.has(test.id)) continue
        ran++
        const failure = await failureOf(test)
        if (failure) return { ran, failed: test.id, failure }
      }
      return { ran, failed: null, failure: '' }
    } catch (error) {
      return { ran, failed: 'cannot even be loaded', failure: String(error) }
    }
  }

  /** @param {string[]} [files] */
  async load(files) {
    if (!this.suite) throw new Error('The runner was asked before it was ready')
    return this.suite.load(files)
  }
}

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
