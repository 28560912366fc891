"""Random bags for hypothesis."""

from __future__ import annotations

from hypothesis import strategies as st

from advisor.bag import SealedBag, TemperaturePath


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def bags(draw: st.DrawFn) -> SealedBag:
    """Any bag a delivery could hold, and some it could not; loads up to 300 g/L."""
    water_l = draw(between(0.05, 20.0))
    mass_g = draw(between(0.05, 20.0))
    most = int(min(300.0 * water_l / mass_g, 2000.0))
    gas = draw(st.sampled_from(["oxygen", "oxygen", "air", "none"]))
    count = draw(st.integers(0, most))
    unknown_or = st.one_of(st.none(), between(0.0, 100.0))
    return SealedBag(
        water_l=water_l,
        gas_l=0.0 if gas == "none" else draw(between(0.0, 4.0)) * water_l,
        gas=gas,
        fish_count=count,
        fish_mass_g=mass_g,
        hours=draw(between(0.0, 72.0)),
        temperature=TemperaturePath(
            start_c=draw(between(4.0, 32.0)),
            outside_c=draw(between(-10.0, 38.0)),
            time_constant_h=draw(between(3.0, 60.0)),
        ),
        fasted_hours=draw(unknown_or),
        sedated=draw(st.sampled_from([True, False, None])),
        alkalinity_mg_l_caco3=draw(st.one_of(st.none(), between(0.0, 400.0))),
        tan_mg_l=draw(st.one_of(st.none(), between(0.0, 5.0))),
        salinity_g_kg=draw(st.sampled_from([0.0, 0.0, 2.0, 15.0, 34.0])),
        oxygen_use_factor=draw(st.one_of(st.none(), between(0.3, 2.0))),
        air_breather=draw(st.booleans()),
        rigid=draw(st.booleans()),
        posture=draw(st.sampled_from([None, "lying", "standing"])),
        motion=draw(st.sampled_from([None, "still", "carried", "rocked"])),
        dead_count=draw(st.integers(0, min(count, 3))),
    )
