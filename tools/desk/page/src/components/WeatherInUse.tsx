// The weather files that stand in for those of the scenario, and the way back.
import {ownWeather} from '../actions';
import {fileName} from '../format';
import {design} from '../state';
import {texts} from '../texts';

export function WeatherInUse() {
  const {weather = [], temperature} = design.value ?? {};
  if (weather.length === 0) return null;
  return <div class="stand-in">
    <p>{texts.weather_used(weather.length)}{temperature ? ` ${texts.temperature_from(fileName(temperature))}` : ''}</p>
    <ul>{weather.map(path => <li>{fileName(path)}</li>)}</ul>
    <p class="tools"><button type="button" id="own-weather" onClick={() => void ownWeather()}>{texts.own_weather}</button></p>
  </div>;
}
