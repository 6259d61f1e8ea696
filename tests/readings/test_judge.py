import pytest

from plugsight.readings import Judgement, ReadingEntry, ReadingKind, judge_readings
from plugsight.vocabulary.engine import Electrode, Meter, Place, PlugSpec
from plugsight.vocabulary.errors import InputError

SPEC = PlugSpec(thread="M14x1.25", gap_mm=(0.7, 0.8), resistor=True, electrode=Electrode.NICKEL)
OWN = PlugSpec(resistor=True, resistance_ohm=(4000.0, 8000.0))


def read(kind, text, spec=SPEC, *, meter=None, again=False, electrode=1):
    entry = ReadingEntry(Place(3), kind, text, electrode=electrode, after_cleaning=again)
    return judge_readings([entry], spec, meter or Meter()).items[0]


class TestGauge:
    @pytest.mark.parametrize(
        ("text", "is_in"),
        [("0.70", True), ("0.80", True), ("0.028 in", True), ("0.69", False), ("0.82", False)],
    )
    def test_limits_are_inclusive(self, text, is_in):
        assert read(ReadingKind.GAUGE, text).judgement is (Judgement.IN if is_in else Judgement.OUT)

    def test_the_same_figure_in_mm_and_inches_is_the_same_gap(self):
        inches = PlugSpec(gap_mm=(0.7112, 0.7874))  # 0.028 to 0.031 in
        assert read(ReadingKind.GAUGE, "0.71", inches).judgement is Judgement.IN

    def test_a_precious_plug_is_not_told_to_be_bent(self):
        reading = read(ReadingKind.GAUGE, "1.1", PlugSpec(gap_mm=(0.7, 0.8), electrode=Electrode.PRECIOUS))
        assert "don't reset" in reading.remedy
        assert "bending" not in reading.remedy

    def test_no_figure_is_said_and_not_guessed(self):
        assert read(ReadingKind.GAUGE, "0.75", PlugSpec()).judgement is Judgement.NO_SPEC

    def test_a_surface_gap_can_not_be_gauged(self):
        with pytest.raises(InputError, match="surface-gap"):
            read(ReadingKind.GAUGE, "0.75", PlugSpec(ground_electrodes=0))

    def test_each_strap_is_counted(self):
        assert read(ReadingKind.GAUGE, "0.75", PlugSpec(gap_mm=(0.7, 0.8), ground_electrodes=3), electrode=3)
        with pytest.raises(InputError, match="3 ground electrode"):
            read(ReadingKind.GAUGE, "0.75", PlugSpec(ground_electrodes=3), electrode=4)


class TestResistance:
    @pytest.mark.parametrize("text", ["1.2k", "15k", "50 ohm", "OL"])
    def test_without_the_plugs_own_figure_no_number_fails_it(self, text):
        judgement = read(ReadingKind.RESISTANCE, text).judgement
        assert judgement in (Judgement.UNUSUAL, Judgement.OPEN)

    @pytest.mark.parametrize(
        ("text", "judgement"),
        [
            ("6k", Judgement.IN),
            ("9k", Judgement.OUT),
            ("3k", Judgement.OUT),
            ("7.99k", Judgement.CANT_TELL_METER),
            ("8.05k", Judgement.CANT_TELL_METER),
        ],
    )
    def test_the_plugs_own_figure_is_guarded_by_the_meters_accuracy(self, text, judgement):
        # 8.00 k on the 20 k range: 1 % + 3 counts of 10 ohm = ±110 ohm; guard 1.645 * 110 / sqrt(3) = 104 ohm
        assert read(ReadingKind.RESISTANCE, text, OWN).judgement is judgement

    def test_a_better_meter_can_tell(self):
        better = Meter(percent=0.05, counts=2, display_counts=60000)
        assert read(ReadingKind.RESISTANCE, "7.99k", OWN, meter=better).judgement is Judgement.IN

    def test_open_asks_for_nut_and_bare_metal_before_it_is_final(self):
        first = read(ReadingKind.RESISTANCE, "OL")
        assert not first.final
        assert "terminal nut" in first.remedy
        assert "series gap" in first.remedy
        assert read(ReadingKind.RESISTANCE, "OL", again=True).final

    def test_a_resistor_plug_that_reads_nothing_is_the_wrong_type(self):
        assert "never fit" in read(ReadingKind.RESISTANCE, "5 ohm").remedy

    def test_leads_are_taken_off_and_never_below_zero(self):
        meter = Meter(lead_ohm=0.4)
        assert read(ReadingKind.RESISTANCE, "0.3 ohm", PlugSpec(resistor=False), meter=meter).value == 0.0

    def test_a_range_the_meter_does_not_have_is_refused(self):
        with pytest.raises(InputError, match="highest range"):
            read(ReadingKind.RESISTANCE, "OL 200M")


class TestContinuity:
    @pytest.mark.parametrize("text", ["sounds", "Beeps", "yes", "0.6", "0"])
    def test_sounds(self, text):
        assert read(ReadingKind.CONTINUITY, text).judgement is Judgement.SOUNDS

    @pytest.mark.parametrize("text", ["silent", "no", "OL", "200"])
    def test_silent_is_carbon_until_cleaned(self, text):
        first = read(ReadingKind.CONTINUITY, text)
        assert first.judgement is Judgement.NO_SOUND
        assert not first.final
        assert "plastic brush" in first.remedy
        assert read(ReadingKind.CONTINUITY, text, again=True).final


class TestInsulation:
    def test_any_reading_is_cleaned_and_repeated(self):
        first = read(ReadingKind.INSULATION, "5M")
        assert (first.judgement, first.final) == (Judgement.LEAK, False)
        assert "Fingers off" in first.remedy
        assert read(ReadingKind.INSULATION, "5M", again=True).final

    def test_a_body_across_the_tips_is_named(self):
        assert "body" in read(ReadingKind.INSULATION, "1M").words
        assert "body" not in read(ReadingKind.INSULATION, "12M").words

    def test_on_a_lower_range_it_is_to_be_read_again(self):
        reading = read(ReadingKind.INSULATION, "OL 2M")
        assert "2 MOhm" in reading.words
        assert not reading.final

    def test_more_than_the_meter_can_show_is_refused(self):
        with pytest.raises(InputError, match="highest range"):
            read(ReadingKind.INSULATION, "50M")


class TestEntries:
    def test_none_give_none(self):
        assert judge_readings([], SPEC, Meter()).items == ()

    def test_all_errors_at_once(self):
        entries = [ReadingEntry(Place(c), ReadingKind.GAUGE, "5k") for c in (1, 2)]
        with pytest.raises(InputError, match=r"2 can't be used") as error:
            judge_readings(entries, SPEC, Meter())
        assert "plug 1" in str(error.value)
        assert "plug 2" in str(error.value)

    def test_the_wrong_unit_names_plug_and_reading(self):
        with pytest.raises(InputError, match=r"^plug 3, gap by wire gauge: "):
            read(ReadingKind.GAUGE, "5 kOhm")

    @pytest.mark.parametrize(
        "meter",
        [
            Meter(ranges_ohm=()),
            Meter(ranges_ohm=(0.0,)),
            Meter(percent=-1),
            Meter(display_counts=0),
            Meter(lead_ohm=500),
        ],
    )
    def test_an_impossible_meter_is_refused(self, meter):
        with pytest.raises(InputError, match=r"^meter: "):
            judge_readings([], SPEC, meter)

    @pytest.mark.parametrize(
        "spec",
        [
            PlugSpec(thread="M14x1.5"), PlugSpec(ground_electrodes=5), PlugSpec(gap_mm=(0.8, 0.7)), PlugSpec(gap_mm=(7.0, 8.0)),
            PlugSpec(resistance_ohm=(8e3, 4e3)), PlugSpec(torque_nm=(-1.0, 20.0)), PlugSpec(centre_electrode_mm=25.0),
        ],
    )  # fmt: skip
    def test_impossible_plug_facts_are_refused(self, spec):
        with pytest.raises(InputError):
            judge_readings([], spec, Meter())

    def test_a_thread_is_suggested(self):
        with pytest.raises(InputError, match=r"M14x1\.25"):
            judge_readings([], PlugSpec(thread="M14x1.2"), Meter())

    def test_all_impossible_plug_facts_at_once(self):
        with pytest.raises(InputError, match="2 fields can't be right"):
            judge_readings([], PlugSpec(thread="M9", ground_electrodes=-1), Meter())
