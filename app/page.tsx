/** The first page: the shafts on the bench. */
import { ShaftsScreen } from '@/components/bench/shafts-screen'

export default function ShaftsPage() {
  return <ShaftsScreen />
}
