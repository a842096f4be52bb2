/** The fastest kernel that this machine runs. */
import type { Kernel } from './kernel'
import { plainKernel } from './plain-kernel'
import { simdKernel } from './simd-kernel'

export async function bestKernel(): Promise<Kernel> {
  try {
    return (await simdKernel()) ?? plainKernel
  } catch {
    // WebAssembly can be forbidden altogether; the map is worth having nevertheless
    return plainKernel
  }
}
