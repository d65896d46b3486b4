// Prints "N passed, N failed" from the JSON report of the test runner. A file that could not even be loaded has no
// failed test in it and counts as one failure. Status 1 when something failed or nothing ran at all.
import fs from "node:fs";
import { fileURLToPath } from "node:url";

/**
 * @param {{ testResults: { status: string, assertionResults: { status: string }[] }[] }} report
 */
export function countTests(report) {
  let passed = 0;
  let failed = 0;
  for (const file of report.testResults) {
    const statuses = file.assertionResults.map((test) => test.status);
    const failedHere = statuses.filter((status) => status === "failed").length;
    passed += statuses.filter((status) => status === "passed").length;
    failed += failedHere === 0 && file.status === "failed" ? 1 : failedHere;
  }
  return { passed, failed };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  let counts = { passed: 0, failed: 1 }; // no report: the runner itself broke down
  try {
    counts = countTests(JSON.parse(fs.readFileSync(process.argv[2] ?? "", "utf8")));
  } catch (error) {
    process.stderr.write(`no readable test report: ${/** @type {Error} */ (error).message}\n`);
  }
  process.stdout.write(`${counts.passed} passed, ${counts.failed} failed\n`);
  process.exitCode = counts.failed === 0 && counts.passed > 0 ? 0 : 1;
}
