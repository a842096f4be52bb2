'use client'
/** The five tools as a row of stops. */
import { Stops } from '@/components/ui/stops'
import type { BenchTools, ToolName } from './use-bench-tools'

const words: Record<ToolName, string> = { mark: 'Mark', patch: 'Patch', distance: 'Distance', 'leave-out': 'Leave out', shift: 'Shift' }
const order: ToolName[] = ['mark', 'patch', 'distance', 'leave-out', 'shift']

export function ToolStops({ tools }: { tools: BenchTools }) {
  return (
    <Stops
      label="Tools"
      value={tools.tool}
      onChange={tools.setTool}
      stops={order.map((tool, index) => ({
        value: tool,
        spoken: words[tool],
        label: (
          <>
            <kbd>{index + 1}</kbd> {words[tool]}
          </>
        ),
      }))}
    />
  )
}

export const toolHints: Record<ToolName, string> = {
  mark: 'Press on the map or the photograph to set the points of a line, one after another. Enter keeps it, Esc gives it up.',
  patch: 'Set the corners of a patch, three or more. Enter keeps it.',
  distance: 'Press at one place, then at another. Nothing is written down.',
  'leave-out': 'On the photograph, set corners around what is not the journal: a rag, glare, the cheek in front. Enter keeps it.',
  shift: 'Press on a mark to choose it. Drag it, or one of its points. Del drops the point or removes the mark.',
}
