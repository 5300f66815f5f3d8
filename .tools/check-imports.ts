// Prints every import that breaks the rule of the house, and fails when there is one.
import { importFaults } from './import-rule.js'
import { isSource, readHouse } from './source-files.js'

const files = readHouse(isSource)
const faults = importFaults(files)
for (const fault of faults) console.error(fault)
console.log(`${files.length} files, ${faults.length} imports against the rule`)
process.exit(faults.length === 0 && files.length > 0 ? 0 : 1)
