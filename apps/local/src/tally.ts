export interface Tally {
  passed: number
  failed: number
  skipped: number
}

interface Report {
  numPassedTests: number
  numFailedTests: number
  numPendingTests: number
  numTodoTests: number
  testResults: { status: string; assertionResults: unknown[] }[]
}

/** Counts a Vitest JSON report. What broke before its tests could run counts as a failure too: a file that doesn't load,
 *  a run without report or without tests, an error outside of every test. */
export function readTally(read: () => string, exitCode: number): Tally {
  let report: Report
  try {
    report = JSON.parse(read())
  } catch {
    return { passed: 0, failed: 1, skipped: 0 }
  }
  const brokenFiles = report.testResults.filter((file) => file.status === 'failed' && !file.assertionResults.length)
  const tally = {
    passed: report.numPassedTests,
    failed: report.numFailedTests + brokenFiles.length,
    skipped: report.numPendingTests + report.numTodoTests,
  }
  const silent = exitCode !== 0 || tally.passed + tally.failed === 0
  return silent && tally.failed === 0 ? { ...tally, failed: 1 } : tally
}
