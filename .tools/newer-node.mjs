// A second Node for the core tests, from the package registry, kept out of package.json because the package fits one kind of machine.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { root } from './build.mjs'

const VERSION = '24.21.0'

/** Where Node 24 is and which it is; installed at the first call. Null where it cannot be had. */
export function newerNode() {
  const name = `node-${process.platform}-${process.arch}`
  const folder = join(root, 'node_modules', '.cache', `kinu-node-${VERSION}`)
  const path = join(folder, 'node_modules', name, 'bin', 'node')
  if (!existsSync(path)) {
    mkdirSync(folder, { recursive: true })
    const npm = [
      'install',
      '--prefix',
      folder,
      '--no-save',
      '--no-package-lock',
      '--no-audit',
      '--no-fund',
      '--ignore-scripts',
      `${name}@${VERSION}`,
    ]
    spawnSync('npm', npm, { cwd: folder, stdio: ['ignore', 'inherit', 'inherit'] })
  }
  const { status, stdout } = spawnSync(path, ['--version'], { encoding: 'utf8' })
  return status === 0 ? { path, version: stdout.trim() } : null
}
