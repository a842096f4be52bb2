'use client'
/** Every handle as a button: what the canvas shows, for keys and for those who do not see it. */
import type { KeyboardEvent } from 'react'
import { allHandles, type HandleRef, handlePixel, sameHandle } from '@/components/editor/tools/handles'
import { useUnits } from '@/components/ui/preferences'
import type { Handles } from '@/lib/model/photo'
import { formatLength } from '@/lib/model/units'
import type { HandleResidual } from '@/lib/photo/fit-residuals'
import styles from './fit-bench.module.css'
import { editedHandle, type FitStep, handleWord, isOff } from './fit-steps'

export function HandleList({
  handles,
  steps,
  residuals,
  chosen,
  onChoose,
  onKey,
}: {
  handles: Handles
  steps: readonly FitStep[]
  residuals: readonly HandleResidual[] | null
  chosen: HandleRef | null
  onChoose: (handle: HandleRef | null) => void
  onKey: (event: KeyboardEvent<HTMLDivElement>) => void
}) {
  const units = useUnits()
  const all = allHandles(handles)
  const move = (event: KeyboardEvent<HTMLDivElement>) => {
    if (event.key !== 'Tab' && event.key !== 'Enter') onKey(event)
  }
  return (
    <details className={styles.list}>
      <summary>Handles as a list, {all.length}</summary>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: arrow keys of the buttons within */}
      <div onKeyDown={move}>
        <p className="note">Choose one; arrows move it as finely as a hand picks, with Shift ten times. Del drops it.</p>
        <ul>
          {all.map((ref) => {
            const pixel = handlePixel(handles, ref)
            const residual = residuals?.find((one) => sameHandle(editedHandle(one.handle), ref))
            return (
              <li key={JSON.stringify(ref)}>
                <button type="button" className="btn" aria-pressed={sameHandle(ref, chosen)} onClick={() => onChoose(ref)}>
                  {handleWord(steps, handles, ref)}
                </button>{' '}
                <span className="note figure">
                  {pixel ? `${pixel[0].toFixed(0)}, ${pixel[1].toFixed(0)} px` : ''}
                  {residual ? `; ${isOff(residual) ? 'look again: ' : ''}${formatLength(residual.residualMm, units)} from the fit` : ''}
                </span>
              </li>
            )
          })}
        </ul>
      </div>
    </details>
  )
}
